// @vitest-environment happy-dom
import { expect, test } from 'vitest';
import '../../src/ui/elements/pedals.ts';
import { assignable } from '../../src/ui/state/keys.ts';

test('a key is said to be learned only when it has been kept', async () => {
  const pedals = document.createElement('lt-pedals');
  pedals.actions = [{ action: 'next', what: 'The next step' }];
  pedals.assignable = assignable;
  let asked: Record<string, readonly string[]> | undefined;
  pedals.addEventListener('lt-assign', (event) => {
    asked = (event as CustomEvent<{ own: Record<string, readonly string[]> }>).detail.own;
  });
  document.body.append(pedals);
  await pedals.updateComplete;
  const said = () => pedals.shadowRoot!.querySelector('.said')!.textContent;

  pedals.shadowRoot!.querySelector('button')!.click();
  window.dispatchEvent(new KeyboardEvent('keydown', { key: 'F9' }));
  await pedals.updateComplete;
  expect(asked).toEqual({ next: ['f9'] });
  expect(said()).toBe('Keeping f9.');

  pedals.own = asked!;
  await pedals.updateComplete;
  expect(said()).toBe('Learned: f9.');
  pedals.remove();
});
