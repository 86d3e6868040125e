// @vitest-environment happy-dom
/** What is typed into a form on a screen, and what stands there unkept, is asked about before it goes. */
import { afterEach, expect, test } from 'vitest';
import '../../src/ui/elements/chart-values.ts';
import '../../src/ui/elements/keep-profile.ts';
import '../../src/ui/elements/lamp-form.ts';
import { wouldLoseOnScreen } from '../../src/ui/state/leaving.ts';

async function shown(name: keyof HTMLElementTagNameMap, properties: object = {}) {
  const element = Object.assign(document.createElement(name), properties);
  document.body.append(element);
  await (element as unknown as { updateComplete: Promise<unknown> }).updateComplete;
  return element;
}

function type(into: Element, selector: string, text: string): void {
  const field = into.shadowRoot!.querySelector<HTMLInputElement>(selector)!;
  field.dispatchEvent(new FocusEvent('focusin', { bubbles: true, composed: true }));
  field.value = text;
  field.dispatchEvent(new Event('input', { bubbles: true, composed: true }));
}

afterEach(() => document.body.replaceChildren());

test.each([
  ['lt-lamp-form', 'input[name=name]'],
  ['lt-chart-values', 'td input'],
] as const)('%s: nothing is asked until something is typed', async (name, field) => {
  const form = await shown(name);
  expect(wouldLoseOnScreen()).toBe(false);
  type(form, field, '37');
  expect(wouldLoseOnScreen()).toBe(true);
  // As it was before: nothing to lose. Typed anew, it goes with its screen.
  type(form, field, '');
  expect(wouldLoseOnScreen()).toBe(false);
  type(form, field, '38');
  expect(wouldLoseOnScreen()).toBe(true);
  form.remove();
  expect(wouldLoseOnScreen()).toBe(false);
});

test('a camera profile that is found and not kept is asked about as it stands', async () => {
  const form = await shown('lt-keep-profile', { camera: 'studio camera' });
  expect(wouldLoseOnScreen()).toBe(true);
  const send = () =>
    form
      .shadowRoot!.querySelector('form')!
      .dispatchEvent(new Event('submit', { cancelable: true }));
  send();
  expect(wouldLoseOnScreen()).toBe(true);
  type(form, 'input[name=name]', 'card, bench lamp');
  send();
  expect(wouldLoseOnScreen()).toBe(false);
});
