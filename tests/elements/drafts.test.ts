// @vitest-environment happy-dom
/** What is typed on the screens of spraying and of hiding waits for its area while one is elsewhere. */
import { ContextProvider } from '@lit/context';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Attempt } from '../../src/job/records.ts';
import { INITIAL, type BenchState, type Place } from '../../src/ui/state/bench-state.ts';
import { demoPalette } from '../../src/ui/state/demo-job.ts';
import { Drafts } from '../../src/ui/state/drafts.ts';
import { servicesContext, type Services } from '../../src/ui/state/services.ts';
import { Store } from '../../src/ui/state/store.ts';
import '../../src/ui/screens/film.ts';
import '../../src/ui/screens/spray.ts';
import { area, attempt } from '../unit/job-examples.ts';

const palette = demoPalette('palette/demo', new Date('2026-03-02T09:00:00.000Z'));
const placeOf = (own: string) => ({ area: { ...area, id: `area/J1/P1/${own}` } }) as Place;
const mixOf = (own: string, of: string): Attempt => ({
  ...attempt,
  id: `attempt/J1/P1/${own}/${of}`,
  palette: palette.id,
  pot: { white: 5 },
});

const store = new Store<BenchState>(INITIAL);
let drafts: Drafts;
const provider = new ContextProvider(document.body, { context: servicesContext });

beforeEach(() => {
  drafts = new Drafts();
  const nothing = () => Promise.resolve([]);
  provider.setValue({
    store,
    drafts,
    records: { onChange: () => () => undefined },
    mapping: { store: new Store({ outline: undefined }) },
    spraying: {
      of: () => Promise.resolve({ plans: [], first: undefined, maps: [] }),
      brushes: nothing,
      jars: nothing,
    },
  } as unknown as Services);
});
afterEach(() => document.body.replaceChildren());

/** The screen as one comes to it with this area on the bench. */
function come(name: 'lt-film' | 'lt-spray', own = 'A1', mix = 'T1') {
  document.body.replaceChildren();
  store.set({ place: placeOf(own), palette, mixes: [mixOf(own, mix)] });
  const screen = document.createElement(name);
  document.body.append(screen);
  const field = (selector: string) =>
    vi.waitFor(() => find(screen.shadowRoot!, selector) ?? expect.fail(`no ${selector}`));
  return {
    read: async (selector: string) => (await field(selector)).value,
    type: async (selector: string, text: string) => {
      const input = await field(selector);
      input.value = text;
      input.dispatchEvent(new Event('input', { bubbles: true, composed: true }));
    },
    screen,
  };
}

/** In the screen, or in the form on it. */
function find(root: ShadowRoot, selector: string): HTMLInputElement | null {
  const form = root.querySelector('lt-spray-form')?.shadowRoot;
  return (form ?? root).querySelector(selector);
}

const BLACK = '[aria-label="Coat over black, L*"]';
const BARE = '[aria-label="Bare black, L*"]';

test('half a colour of the card waits for its area; another area has a card of its own', async () => {
  await come('lt-film').type(BLACK, '66');
  expect(await come('lt-film', 'A2').read(BLACK)).toBe('');
  const back = come('lt-film');
  expect(await back.read(BLACK)).toBe('66');
  expect(await back.read(BARE)).toBe('12');
});

test('what is typed for spraying waits for its area, another mix in the pot or not', async () => {
  await come('lt-spray').type('input[name=coats]', '37');
  expect(await come('lt-spray', 'A2').read('input[name=coats]')).not.toBe('37');
  expect(await come('lt-spray').read('input[name=coats]')).toBe('37');
  const afterAddition = come('lt-spray', 'A1', 'T2');
  expect(await afterAddition.read('input[name=coats]')).toBe('37');
});

test('closing the window would lose it, until the card is reckoned', async () => {
  const film = come('lt-film');
  expect(drafts.isUnkept).toBe(false);
  for (const [name, lab] of Object.entries({ black: [66, 0, 0], white: [78, 0, 0] })) {
    for (const [k, axis] of ['L*', 'a*', 'b*'].entries()) {
      await film.type(`[aria-label="Coat over ${name}, ${axis}"]`, String(lab[k]));
    }
  }
  expect(drafts.isUnkept).toBe(true);
  film.screen
    .shadowRoot!.querySelector('form')!
    .dispatchEvent(new Event('submit', { cancelable: true }));
  expect(drafts.isUnkept).toBe(false);
  await film.type(BLACK, '67');
  expect(drafts.isUnkept).toBe(true);
});
