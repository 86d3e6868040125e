// @vitest-environment happy-dom
import type { LitElement } from 'lit';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import type { Suggestion } from '../../src/paint/types.ts';
import '../../src/ui/elements/amounts.ts';
import '../../src/ui/elements/attempts.ts';
import '../../src/ui/elements/nudge.ts';
import '../../src/ui/elements/refusal.ts';
import '../../src/ui/elements/result.ts';
import '../../src/ui/elements/swatches.ts';
import { Select, Store } from '../../src/ui/state/store.ts';
import { aReading } from './readings.ts';

async function shown<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  properties: Partial<HTMLElementTagNameMap[Name]>,
): Promise<HTMLElementTagNameMap[Name]> {
  const element = Object.assign(document.createElement(name), properties);
  document.body.append(element);
  await (element as unknown as LitElement).updateComplete;
  return element;
}
const text = (element: Element) => element.shadowRoot!.textContent.replace(/\s+/g, ' ').trim();

afterEach(() => document.body.replaceChildren());

describe('swatches', () => {
  const [dab, glaze, predicted] = [labD65(60, 0, 0), labD65(70, 0, 0), labD65(69, 0, 0)];
  test('dab, glaze and prediction stand in this order with nothing between them', async () => {
    const element = await shown('lt-swatches', { dab, glaze, predicted });
    expect(element.shadowRoot!.querySelectorAll('.row > *')).toHaveLength(3);
    expect(text(element)).toMatch(/^dab ?glaze ?predicted/);
    expect(text(element)).toContain('indicative');
  });
  test('without a reading it says what will stand there', async () => {
    const element = await shown('lt-swatches', { dab: undefined, glaze: undefined });
    expect(element.shadowRoot!.querySelector('.row')).toBeNull();
    expect(text(element)).toMatch(/side by side/);
  });
});

describe('result', () => {
  test('number, interval, verdict, words and sentence are all there', async () => {
    const element = await shown('lt-result', { reading: aReading() });
    const number = element.shadowRoot!.querySelector('lt-difference')!;
    const verdict = element.shadowRoot!.querySelector('lt-verdict')!;
    await number.updateComplete;
    await verdict.updateComplete;
    expect(text(number)).toContain('2.9');
    expect(text(number)).toContain('2.4 to 3.5');
    expect(text(verdict)).toBe('Shows');
    expect(text(element)).toContain('The dab is bluer, a little darker.');
    expect(text(element)).toContain('Turn the piece.');
  });
  test('no difference worth a word is said, not left blank', async () => {
    const element = await shown('lt-result', { reading: aReading({ words: [] }) });
    expect(text(element)).toContain('No difference worth a word');
  });
});

test('a refusal says what is wrong and what to do', async () => {
  const refused = [{ reason: 'tile-dark' as const, message: 'Too dark.', remedy: 'More light.' }];
  expect(text(await shown('lt-refusal', { refused }))).toBe('Too dark. More light.');
});

describe('next addition', () => {
  const pigments = [{ id: 'white', name: 'titanium white', colourIndex: 'PW 6' }];
  const suggestion: Suggestion = {
    additions: { white: 0.6 },
    predicted: { lab: labD65(70, 0, 0), deltaE00: 0.6, interval95: [0.2, 1.3] },
    growth: 0.12,
    notes: ['Beware of dust.'],
  };
  test('shows grams, pigment, expectation, growth and cautions', async () => {
    const element = await shown('lt-nudge', { suggestions: [suggestion], pigments });
    for (const part of ['0.60 g', 'PW 6 titanium white', '0.6 (0.2 to 1.3)', '12 %']) {
      expect(text(element)).toContain(part);
    }
    expect(text(element)).toContain('Beware of dust.');
  });
  test('choosing another suggestion is told to the screen', async () => {
    const element = await shown('lt-nudge', { suggestions: [suggestion, suggestion], pigments });
    const chosen = vi.fn();
    element.addEventListener('lt-choose', (event) => {
      chosen((event as CustomEvent<{ index: number }>).detail.index);
    });
    element.shadowRoot!.querySelectorAll<HTMLElement>('.choices button')[1]!.click();
    expect(chosen).toHaveBeenCalledWith(1);
  });
  test.each([
    [{ suggestions: [suggestion] }, '1 caution'],
    [
      { suggestions: [{ ...suggestion, preDiluted: [{ pigment: 'b', parts: 20, grams: 0.2 }] }] },
      'Dilute first, 1 caution',
    ],
    [{ message: 'One sentence more than there is room for. '.repeat(4) }, 'All of it'],
  ])('what is left out where room is short is a press away', async (shows, name) => {
    const element = await shown('lt-nudge', { pigments, ...shows });
    const asked = vi.fn();
    element.addEventListener('lt-about', asked);
    const button = element.shadowRoot!.querySelector<HTMLElement>('.about')!;
    expect(button.textContent.replace(/\s+/g, ' ').trim()).toBe(name);
    button.click();
    expect(asked).toHaveBeenCalledOnce();
  });
  test('a short message needs no more', async () => {
    const element = await shown('lt-nudge', { message: 'Reckoning the next addition.' });
    expect(element.shadowRoot!.querySelector('.about')).toBeNull();
  });
});

describe('amounts', () => {
  const pigments = [
    { id: 'white', name: 'titanium white', colourIndex: 'PW 6' },
    { id: 'blue', name: 'cobalt blue', colourIndex: 'PB 28' },
  ];
  const type = async (white: string, blue: string) => {
    const element = await shown('lt-amounts', { pigments });
    const kept = vi.fn();
    element.addEventListener('lt-amounts', (event) => {
      kept((event as CustomEvent<{ grams: unknown }>).detail.grams);
    });
    const [first, second] = element.shadowRoot!.querySelectorAll('input');
    first!.value = white;
    second!.value = blue;
    element.shadowRoot!.querySelector('form')!.dispatchEvent(new Event('submit'));
    await element.updateComplete;
    return { kept, text: text(element) };
  };
  test('takes both decimal signs and leaves out what was not given', async () => {
    const { kept } = await type('5,25', '');
    expect(kept).toHaveBeenCalledWith({ white: 5.25 });
  });
  test.each(['abc', '-1', '1e9', '1.2.3'])(
    '"%s" is no mass, and the field is named',
    async (bad) => {
      const { kept, text } = await type('5', bad);
      expect(kept).not.toHaveBeenCalled();
      expect(text).toContain('PB 28 cobalt blue');
      expect(text).toContain(bad);
    },
  );
  test('an empty form keeps nothing', async () => {
    const { kept, text } = await type('', '0');
    expect(kept).not.toHaveBeenCalled();
    expect(text).toMatch(/at least one/);
  });
});

test('an attempt can be found by its spoken name', async () => {
  const element = await shown('lt-attempts', {
    attempts: [{ id: 'r', number: 1, deltaE00: 2.94, verdict: 'shows', addition: '+ 0.50 g PW 6' }],
  });
  const name = element.shadowRoot!.querySelector('button')!.getAttribute('aria-label');
  expect(name).toBe('Attempt 1, shows, ΔE₀₀ 2.9, + 0.50 g PW 6');
});

describe('store and selection', () => {
  const host = () => ({
    addController: vi.fn(),
    removeController: vi.fn(),
    requestUpdate: vi.fn(),
    updateComplete: Promise.resolve(true),
  });
  test('a host is drawn anew only for what it selected', () => {
    const store = new Store({ a: 1, b: 1 });
    const drawn = host();
    const select = new Select(
      drawn,
      () => store,
      ({ a }) => ({ a }),
    );
    select.hostConnected();
    drawn.requestUpdate.mockClear();
    store.set({ b: 2 });
    expect(drawn.requestUpdate).not.toHaveBeenCalled();
    store.set({ a: 2 });
    expect(drawn.requestUpdate).toHaveBeenCalledTimes(1);
    expect(select.value).toEqual({ a: 2 });
  });
  test('a host that left is left alone', () => {
    const store = new Store({ a: 1 });
    const drawn = host();
    const select = new Select(
      drawn,
      () => store,
      ({ a }) => ({ a }),
    );
    select.hostConnected();
    select.hostDisconnected();
    drawn.requestUpdate.mockClear();
    store.set({ a: 2 });
    expect(drawn.requestUpdate).not.toHaveBeenCalled();
  });
});
