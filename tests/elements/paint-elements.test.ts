// @vitest-environment happy-dom
/** What is shown of paints: their cards, their names, their doses, their way to the glaze. */
import type { LitElement } from 'lit';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { labD65 } from '../../src/colour/spaces.ts';
import type { Pigment } from '../../src/job/mixing.ts';
import { demoPalette } from '../../src/ui/state/demo-job.ts';
import '../../src/ui/elements/colour-path/colour-path.ts';
import '../../src/ui/elements/dose-form.ts';
import '../../src/ui/elements/exaggerated.ts';
import { exaggerated } from '../../src/ui/elements/exaggerated.ts';
import '../../src/ui/elements/first-mix-form.ts';
import '../../src/ui/elements/lab-form.ts';
import '../../src/ui/elements/mix-list.ts';
import '../../src/ui/elements/pigment-card.ts';
import '../../src/ui/elements/pigment-form.ts';
import { tidyColourIndex } from '../../src/ui/elements/pigment-form.ts';
import '../../src/ui/elements/reading-order.ts';
import '../../src/ui/elements/tint-amounts.ts';

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
const press = (element: Element, name: string) => {
  const buttons = [...element.shadowRoot!.querySelectorAll('button')];
  buttons.find((button) => button.textContent.replace(/\s+/g, ' ').includes(name))!.click();
};
/** Fills a form and sends it; answers what came of it. */
async function sent(element: LitElement, event: string, fields: Record<string, string>) {
  const heard = vi.fn();
  element.addEventListener(event, (e) => {
    heard((e as CustomEvent<unknown>).detail);
  });
  for (const [name, value] of Object.entries(fields)) {
    const field = element.shadowRoot!.querySelector<HTMLInputElement>(`[name='${name}']`)!;
    if (field.type === 'checkbox') field.checked = value === 'on';
    else field.value = value;
  }
  element.shadowRoot!.querySelector('form')!.dispatchEvent(new Event('submit'));
  await element.updateComplete;
  return heard;
}

afterEach(() => document.body.replaceChildren());

describe('the card of a paint', () => {
  const blue: Pigment = { id: 'blue', name: 'cobalt blue', colourIndex: 'PB 28' };
  test('that was not read says that it is a guess, and what it is to beware of', async () => {
    const card = await shown('lt-pigment', { pigment: blue });
    expect(text(card)).toContain('Invented, only a guess');
    expect(text(card)).toContain('contains cobalt');
    expect(text(card)).not.toContain('known:');
  });
  test('of which not even the name is known says that it is left out', async () => {
    const pigment: Pigment = { id: 'mix', name: 'own mix' };
    expect(text(await shown('lt-pigment', { pigment }))).toContain('left out of suggestions');
  });
  test('that was read says how well it is known, what would help, and what was learned', async () => {
    const pigment: Pigment = {
      ...blue,
      masstone: labD65(23, 26, -54),
      tint: { lab: labD65(61, 4, -42), pigment: 0.1, white: 0.95 },
    };
    const quality = { id: 'blue', deltaE00: 2.04, grade: 'fair', remedy: 'a second tint' } as const;
    const card = await shown('lt-pigment', { pigment, quality, strength: 1.3 });
    for (const said of [
      'Fairly known',
      'ΔE₀₀ 2.0',
      'Better with a second tint',
      '1.30 ×',
      '1 : 9.5',
    ]) {
      expect(text(card)).toContain(said);
    }
    expect(text(card)).not.toContain('contrast');
    // Complete hiding is a contrast ratio of 0.98 (ISO 6504-1, ASTM D6441).
    card.contrast = 0.97;
    await card.updateComplete;
    expect(text(card)).toContain('does not hide');
    card.contrast = 0.98;
    await card.updateComplete;
    expect(text(card)).toContain('masstone hides');
    const forget = vi.fn();
    card.addEventListener('lt-forget', forget);
    press(card, 'Forget that');
    expect(forget).toHaveBeenCalledTimes(1);
  });
});

describe('naming a paint', () => {
  test.each([
    ['pb28', 'PB 28'],
    ['PY 35:1', 'PY 35:1'],
    [' pbk 11 ', 'PBk 11'],
    ['pbr7', 'PBr 7'],
    ['NR 9', 'NR 9'],
  ])('“%s” is %s', (typed, name) => {
    expect(tidyColourIndex(typed)).toBe(name);
  });
  test.each(['cobalt', 'PX 3', 'PB', '28', 'PB 2800'])('“%s” is no such name', (typed) => {
    expect(tidyColourIndex(typed)).toBeUndefined();
  });
  test('a wrong name keeps the form, and says what one looks like', async () => {
    const form = await shown('lt-pigment-form', {});
    const heard = await sent(form, 'lt-identity', { colourIndex: 'blue', name: 'blue' });
    expect(heard).not.toHaveBeenCalled();
    expect(text(form)).toContain('“blue” is no Colour Index generic name');
  });
  test('a name from the list brings the usual name with it', async () => {
    const form = await shown('lt-pigment-form', {});
    const heard = await sent(form, 'lt-identity', { colourIndex: 'pb 29' });
    expect(heard).toHaveBeenCalledWith({ name: 'ultramarine', colourIndex: 'PB 29' });
  });
  test('a mixed paint has a name alone', async () => {
    const form = await shown('lt-pigment-form', {});
    expect(await sent(form, 'lt-identity', { name: 'own grey' })).toHaveBeenCalledWith({
      name: 'own grey',
    });
    expect(await sent(form, 'lt-identity', { name: '' })).not.toHaveBeenCalled();
  });
});

describe('a colour typed in', () => {
  test('takes either decimal sign and either minus', async () => {
    const form = await shown('lt-lab-form', {});
    const heard = await sent(form, 'lt-lab', { L: '61,5', a: '4.7', b: '−42' });
    expect(heard).toHaveBeenCalledWith({ lab: [61.5, 4.7, -42] });
  });
  test.each([
    [{ L: '', a: '0', b: '0' }, 'L*'],
    [{ L: '50', a: 'red', b: '0' }, 'a*'],
    [{ L: '50', a: '0', b: '900' }, 'b*'],
    [{ L: '101', a: '0', b: '0' }, 'L*'],
  ])('%j is refused by its field', async (fields, named) => {
    const form = await shown('lt-lab-form', {});
    expect(await sent(form, 'lt-lab', fields)).not.toHaveBeenCalled();
    expect(text(form)).toMatch(new RegExp(`${named.replace('*', '\\*')}: “`));
  });
});

describe('doses', () => {
  const palette = demoPalette('palette/demo', new Date('2026-03-02T09:00:00.000Z'));
  test('ten drops weighed twice are told to whoever keeps them', async () => {
    const form = await shown('lt-dose-form', { palette });
    const heard = await sent(form, 'lt-weighed', { count: '10', grams: '0,42 0.39' });
    expect(heard).toHaveBeenCalledWith({ name: 'drop', weighings: [0.42, 0.39], count: 10 });
  });
  test.each([
    [{ count: '0', grams: '1' }, 'How many'],
    [{ count: 'ten', grams: '1' }, 'How many'],
    [{ count: '10', grams: '' }, 'They weigh'],
    [{ count: '10', grams: '0.4 x' }, '“x”'],
    [{ count: '10', grams: '-1' }, '“-1”'],
  ])('%j is refused and says why', async (fields, said) => {
    const form = await shown('lt-dose-form', { palette });
    expect(await sent(form, 'lt-weighed', fields)).not.toHaveBeenCalled();
    expect(text(form)).toContain(said);
  });
  test('only what was weighed can be counted in', async () => {
    const form = await shown('lt-dose-form', { palette: { ...palette, doseUnits: [] } });
    const drops = [...form.shadowRoot!.querySelectorAll('button')].find((button) =>
      button.textContent.includes('in drops'),
    );
    expect(drops!.disabled).toBe(true);
  });
});

describe('the amounts of a tint', () => {
  const properties = {
    amounts: { pigment: 0.1, white: 0.9, measure: 'g' as const },
    pigmentName: 'cobalt blue',
    whiteName: 'titanium white',
  };
  const type = async (value: string) => {
    const form = await shown('lt-tint-amounts', properties);
    const heard = vi.fn();
    form.addEventListener('lt-tint', (event) => {
      heard((event as CustomEvent<unknown>).detail);
    });
    const input = form.shadowRoot!.querySelector('input')!;
    input.value = value;
    input.dispatchEvent(new Event('change'));
    await form.updateComplete;
    return { heard, said: text(form) };
  };
  test('are sent on as they are typed', async () => {
    expect((await type('0,2')).heard).toHaveBeenCalledWith({
      pigment: 0.2,
      white: 0.9,
      measure: 'g',
    });
  });
  test.each(['0', '-1', 'some', ''])('“%s” is no amount', async (value) => {
    const { heard, said } = await type(value);
    expect(heard).not.toHaveBeenCalled();
    expect(said).toContain(`“${value}” is no amount`);
  });
});

describe('the order of reading', () => {
  test('says of each paint what is done and what is to do, in words', async () => {
    const masstone = labD65(50, 0, 0);
    const list = await shown('lt-reading-order', {
      pigments: [
        { id: 'w', name: 'white', colourIndex: 'PW 6', isWhite: true, masstone },
        { id: 'b', name: 'blue', colourIndex: 'PB 28', masstone },
        { id: 'r', name: 'red', colourIndex: 'PR 101' },
      ],
    });
    const lines = [...list.shadowRoot!.querySelectorAll('li')].map((li) => li.textContent);
    expect(lines[0]).toContain('✓ masstone');
    expect(lines[1]).toContain('tint to do');
    expect(lines[2]).toContain('to do');
  });
});

describe('the way to the glaze', () => {
  const glaze = labD65(70, -2, -4);
  const attempts = [
    { number: 1, lab: labD65(80, -1, -12) },
    { number: 2, lab: labD65(72, -2, -5) },
  ];
  const pulls = [
    { code: 'PB 28', name: 'PB 28 cobalt blue', perGram: labD65(-200, 0, -400) },
    { code: 'PW 6', name: 'PW 6 titanium white', perGram: labD65(4, 0, 0) },
  ];
  test('is drawn with its attempts, and paints are told by name', async () => {
    const path = await shown('lt-colour-path', { glaze, attempts, pulls, predicted: glaze });
    const svg = path.shadowRoot!.querySelector('svg')!;
    expect(svg.getAttribute('role')).toBe('img');
    expect(svg.getAttribute('aria-label')).toMatch(/attempt 1 \d+\.\d, attempt 2 \d/);
    expect(svg.textContent).toContain('PB 28');
    expect(svg.textContent).toMatch(/a\* redder/);
    expect(svg.querySelectorAll('.dot')).toHaveLength(4);
  });
  test('stands in numbers too, with the grams that move the dab by one unit', async () => {
    const path = await shown('lt-colour-path', { glaze, attempts, pulls });
    const numbers = path.shadowRoot!.querySelector('details')!.textContent.replace(/\s+/g, ' ');
    expect(numbers).toContain('bluer and darker');
    // |(−200, 0, −400)| = 447 a gram; |4| = 4 a gram.
    expect(numbers).toContain('one unit a 0.002 g');
    expect(numbers).toContain('one unit a 0.25 g');
  });
  test('before the first reading says what will be there', async () => {
    const path = await shown('lt-colour-path', { glaze: undefined });
    expect(path.shadowRoot!.querySelector('svg')).toBeNull();
    expect(text(path)).toMatch(/first reading/);
  });
});

describe('the exaggerated difference', () => {
  test('is three times the difference from the glaze', () => {
    expect(exaggerated(labD65(70, 1, -4), labD65(71, 0, -2))).toEqual([73, -2, 2]);
  });
  test('never leaves the range of lightness', () => {
    expect(exaggerated(labD65(95, 0, 0), labD65(99, 0, 0))[0]).toBe(100);
  });
  test('says that it is not the dab', async () => {
    const element = await shown('lt-exaggerated', {
      glaze: labD65(70, 0, 0),
      dab: labD65(71, 0, 0),
    });
    expect(text(element)).toContain('× 3, not the dab');
  });
});

describe('what to start with', () => {
  const pigments = [
    { id: 'w', name: 'titanium white', colourIndex: 'PW 6' },
    { id: 'b', name: 'cobalt blue', colourIndex: 'PB 28' },
  ];
  const glaze = labD65(80, -1, -6);
  test('needs a glaze', async () => {
    expect(text(await shown('lt-first-mix', { pigments }))).toContain('not known yet');
  });
  test.each(['0', 'much', '-2'])('“%s” g is no amount', async (grams) => {
    const form = await shown('lt-first-mix', { pigments, glaze });
    expect(await sent(form, 'lt-wanted', { grams })).not.toHaveBeenCalled();
    expect(text(form)).toContain(`“${grams}”`);
  });
  test('lists the recipe and takes it as mixed', async () => {
    const recipe = {
      additions: { b: 0.04, w: 4.96 },
      predicted: { lab: glaze, deltaE00: 0.4, interval95: [0.1, 2.2] as const },
      notes: ['Mind the dust.'],
    };
    const doseUnits = [{ name: 'drop', grams: 0.02 }];
    const form = await shown('lt-first-mix', { pigments, glaze, recipe, doseUnits });
    expect(text(form)).toContain('PB 28 cobalt blue 2 drops 0.040 g');
    expect(text(form)).toContain('0.4 (0.1 to 2.2)');
    expect(text(form)).toContain('Mind the dust.');
    const heard = vi.fn();
    form.addEventListener('lt-amounts', (event) => {
      heard((event as CustomEvent<unknown>).detail);
    });
    press(form, 'I mixed this');
    expect(heard).toHaveBeenCalledWith({ grams: recipe.additions });
  });
});

test('the mixes of a pot stand newest first, with what was read of each', async () => {
  const list = await shown('lt-mix-list', {
    pigments: [{ id: 'w', name: 'titanium white', colourIndex: 'PW 6' }],
    mixes: [
      { id: '1', addition: {}, pot: { w: 5 }, readings: [] },
      {
        id: '2',
        addition: { w: 0.5 },
        pot: { w: 5.5 },
        readings: [{ id: 'r', number: 1, deltaE00: 2.9, verdict: 'shows', film: 'wet' }],
      },
    ],
  });
  const lines = [...list.shadowRoot!.querySelectorAll('ol > li')].map((li) =>
    li.textContent.replace(/\s+/g, ' '),
  );
  expect(lines[0]).toContain('Added 0.50 g of PW 6 titanium white');
  expect(lines[0]).toContain('ΔE₀₀ 2.9');
  expect(lines[1]).toContain('Began with 5.00 g of PW 6 titanium white');
  expect(lines[1]).toContain('not read');
});
