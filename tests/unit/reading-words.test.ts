import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { labD65, type LabD65 } from '../../src/colour/spaces.ts';
import { differenceWords } from '../../src/reading/words.ts';
import { deltaE2000 } from './reading-scene.ts';

const polar = (L: number, C: number, degrees: number): LabD65 =>
  labD65(L, C * Math.cos((degrees * Math.PI) / 180), C * Math.sin((degrees * Math.PI) / 180));
const plainly = (word: string | undefined) => word?.replace(/^(a little|much) /, '');

describe('lightness and strength', () => {
  test('a darker dab is called darker, first', () => {
    expect(differenceWords(labD65(70, -3, 10), labD65(66, -3.2, 10.6))[0]).toBe('darker');
    expect(differenceWords(labD65(70, -3, 10), labD65(69, -3, 10))).toEqual(['a little darker']);
    expect(differenceWords(labD65(70, -3, 10), labD65(60, -3, 10))[0]).toBe('much darker');
  });
  test('a lighter one lighter; more chroma is stronger, less is weaker', () => {
    expect(differenceWords(labD65(40, 0, 0), labD65(43, 0, 0))[0]).toBe('lighter');
    expect(plainly(differenceWords(polar(50, 30, 250), polar(50, 35, 250))[0])).toBe('stronger');
    expect(plainly(differenceWords(polar(50, 30, 250), polar(50, 25, 250))[0])).toBe('weaker');
  });
  test('the largest comes first, whatever it is', () => {
    const glaze = polar(60, 40, 60);
    expect(plainly(differenceWords(glaze, polar(59, 40, 75))[0])).toBe('yellower');
    expect(plainly(differenceWords(glaze, polar(54, 40, 63))[0])).toBe('darker');
    expect(plainly(differenceWords(glaze, polar(59, 28, 62))[0])).toBe('weaker');
  });
});

describe('near grey, where a colour leans', () => {
  // ISO/CIE 11664-4: +a* towards red, +b* yellow, −a* green, −b* blue; the names between them are common
  // practice, no source.
  test.each([
    [0, 'redder'],
    [45, 'more orange'],
    [90, 'yellower'],
    [135, 'more yellow-green'],
    [180, 'greener'],
    [225, 'more blue-green'],
    [270, 'bluer'],
    [315, 'more violet'],
  ])('towards %i° is %s', (degrees, word) => {
    for (const turn of [-15, 0, 15]) {
      expect(plainly(differenceWords(labD65(75, 0, 0), polar(75, 3, degrees + turn))[0])).toBe(
        word,
      );
      // Back to grey it leans the other way.
      const back = differenceWords(polar(75, 3, degrees + turn + 180), labD65(75, 0, 0));
      expect(plainly(back[0])).toBe(word);
    }
  });
});

describe('of a colour, which neighbour it turns to', () => {
  // Unique hues stand near 20°, 90°, 164° and 238° (CIE 159:2004, table of CIECAM02 unique hue data); the
  // hues between go by their neighbours' names.
  test.each([
    ['red', 25, 'more orange', 'more violet'],
    ['pink', 355, 'redder', 'more violet'],
    ['orange', 60, 'yellower', 'redder'],
    ['yellow', 92, 'greener', 'more orange'],
    ['yellow-green', 125, 'greener', 'yellower'],
    ['green', 165, 'more blue-green', 'yellower'],
    ['blue-green', 205, 'bluer', 'greener'],
    ['blue', 260, 'more violet', 'more blue-green'],
    ['violet', 315, 'redder', 'bluer'],
  ])('%s', (_, hue, onward, back) => {
    expect(plainly(differenceWords(polar(55, 35, hue), polar(55, 35, hue + 10))[0])).toBe(onward);
    expect(plainly(differenceWords(polar(55, 35, hue), polar(55, 35, hue - 10))[0])).toBe(back);
  });
});

describe('of any two colours', () => {
  const lab = fc
    .tuple(
      fc.double({ min: 5, max: 98, noNaN: true }),
      fc.double({ min: -60, max: 60, noNaN: true }),
      fc.double({ min: -60, max: 60, noNaN: true }),
    )
    .map(([L, a, b]) => labD65(L, a, b));
  const near = fc
    .tuple(
      lab,
      fc.array(fc.double({ min: -9, max: 9, noNaN: true }), { minLength: 3, maxLength: 3 }),
    )
    .map(([from, d]) => [from, labD65(from[0] + d[0]!, from[1] + d[1]!, from[2] + d[2]!)] as const);

  test('equal ones need no word', () => {
    fc.assert(fc.property(lab, (one) => differenceWords(one, one).length === 0));
  });
  test('a difference that can be seen has a word, none says a thing twice', () => {
    fc.assert(
      fc.property(near, ([glaze, dab]) => {
        const words = differenceWords(glaze, dab);
        expect(new Set(words.map(plainly)).size).toBe(words.length);
        expect(words.length).toBeLessThanOrEqual(3);
        if (deltaE2000(glaze, dab) >= 0.6) expect(words.length).toBeGreaterThan(0);
      }),
    );
  });
  test('lighter and stronger are true, and turn round with the pair', () => {
    const opposite: Record<string, string> = {
      lighter: 'darker',
      darker: 'lighter',
      stronger: 'weaker',
      weaker: 'stronger',
    };
    const chroma = ([, a, b]: LabD65) => Math.hypot(a, b);
    fc.assert(
      fc.property(near, ([glaze, dab]) => {
        const said = differenceWords(glaze, dab).map((w) => plainly(w)!);
        const back = differenceWords(dab, glaze).map((w) => plainly(w)!);
        const turned = (words: string[]) => words.filter((w) => w in opposite).sort();
        expect(turned(back)).toEqual(
          turned(said)
            .map((w) => opposite[w]!)
            .sort(),
        );
        if (said.includes('lighter')) expect(dab[0]).toBeGreaterThan(glaze[0]);
        if (said.includes('darker')) expect(dab[0]).toBeLessThan(glaze[0]);
        // ΔE₀₀ stretches a*, so chromas that are all but equal may come out either way.
        if (said.includes('stronger')) expect(chroma(dab)).toBeGreaterThan(chroma(glaze) - 1);
        if (said.includes('weaker')) expect(chroma(dab)).toBeLessThan(chroma(glaze) + 1);
      }),
    );
  });
});
