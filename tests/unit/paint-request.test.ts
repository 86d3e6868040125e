import { describe, expect, it } from 'vitest';
import { checkNudgeRequest } from '../../src/paint/request.ts';

/** The example of the contract, as a person's file would hold it. */
const example = () => ({
  palette: [
    { id: 'white', colourIndex: 'PW 6', isWhite: true, masstone: [96, -1, 2] },
    { id: 'blue', masstone: [30, 10, -45], tint: { lab: [70, -4, -28], pigment: 1, white: 9 } },
    { id: 'ochre', masstone: [55, 20, 50], tint: { lab: [82, 6, 28], pigment: 1, white: 9 } },
  ],
  pot: { white: 5, blue: 0.05 },
  glazeLab: [84, -3, -8],
  dabLab: [86, -3, -5],
});
type Example = ReturnType<typeof example>;

function errorOf(change: (request: Example & Record<string, unknown>) => void): string {
  const request = example();
  change(request);
  const checked = checkNudgeRequest(request);
  if (checked.ok) throw new Error('the request passed');
  return checked.error;
}

describe('a good request', () => {
  it('passes, with its defaults filled in', () => {
    const checked = checkNudgeRequest(example());
    expect(checked).toMatchObject({
      ok: true,
      request: { ...example(), history: [], smallest: 0.01, largestGrowth: 0.8 },
    });
  });

  it('may hold a zero for what is not in the pot', () => {
    expect(checkNudgeRequest({ ...example(), pot: { white: 5, blue: 0 } }).ok).toBe(true);
  });

  it('may say null for what is absent', () => {
    const nulls = { history: null, smallest: null, largestGrowth: null };
    const palette = example().palette.map((one) => ({ tint: null, strength: null, ...one }));
    expect(checkNudgeRequest({ ...example(), ...nulls, palette })).toEqual(
      checkNudgeRequest(example()),
    );
  });

  it('needs no white when there are no tints', () => {
    const palette = example()
      .palette.slice(1, 2)
      .map(({ id, masstone }) => ({ id, masstone }));
    expect(checkNudgeRequest({ ...example(), palette, pot: { blue: 1 } }).ok).toBe(true);
  });
});

describe('a bad request names the pigment and the fault', () => {
  it.each<[string, (request: Example & Record<string, unknown>) => void, RegExp]>([
    [
      'unknown pigment',
      (r) => (r.pot = { ...r.pot, blu: 1 } as never),
      /pot: pigment “blu” is not in the palette \(white, blue, ochre\)/,
    ],
    [
      'white not marked',
      (r) => delete r.palette[0]!.isWhite,
      /no pigment is marked as white.*tint of “blue”/,
    ],
    ['no white', (r) => void r.palette.shift(), /no pigment is marked as white.*tint of “blue”/],
    [
      'a dark white',
      (r) => (r.palette[0]!.masstone = [50, 0, 0]),
      /“white” is marked as white, but its masstone has L\* 50/,
    ],
    [
      'tint lighter than white',
      (r) => (r.palette[1]!.tint!.lab = [98, 0, 0]),
      /tint of “blue” \(L\* 98.0\) is lighter than the white/,
    ],
    [
      'tint darker than masstone',
      (r) => (r.palette[2]!.tint!.lab = [40, 0, 0]),
      /tint of “ochre” \(L\* 40.0\) is darker than its masstone/,
    ],
    [
      'no pigment in the tint',
      (r) => (r.palette[1]!.tint!.pigment = 0),
      /tint.pigment of “blue” must be a mass greater than zero/,
    ],
    [
      'negative white in the tint',
      (r) => (r.palette[1]!.tint!.white = -9),
      /tint.white of “blue” must be a mass greater than zero/,
    ],
    ['negative mass', (r) => (r.pot.blue = -0.1), /pot.blue is a negative mass: -0.1/],
    ['empty pot', (r) => (r.pot = { white: 0, blue: 0 }), /pot: the pot is empty/],
    ['not a number', (r) => (r.palette[1]!.masstone[2] = NaN), /masstone\[2\] of “blue”/],
    ['endless', (r) => (r.pot.white = Infinity), /pot.white is not a finite number/],
    ['two numbers of a colour', (r) => (r.dabLab = [50, 1]), /dabLab\[2\] is missing/],
    ['a colour out of this world', (r) => (r.glazeLab = [500, 0, 0]), /glazeLab\[0\] lies outside/],
    [
      'a missing masstone',
      (r) => delete (r.palette[1] as { masstone?: unknown }).masstone,
      /masstone of “blue” is missing/,
    ],
    ['the same id twice', (r) => (r.palette[2]!.id = 'blue'), /“blue” is there twice/],
    [
      'an id that every object answers to',
      (r) => (r.palette[2]!.id = 'constructor'),
      /palette\[2\]\.id of “constructor” cannot be the name of a pigment/,
    ],
    ['no palette', (r) => (r.palette = []), /palette holds no pigment/],
    [
      'a smallest dose of nothing',
      (r) => (r['smallest'] = 0),
      /smallest must be a mass greater than zero/,
    ],
    ['a growth in words', (r) => (r['largestGrowth'] = 'much'), /largestGrowth is not a number/],
    [
      'a strength out of this world',
      (r) => (r['strengths'] = { blue: { logMean: 9, logSd: 0.1 } }),
      /strengths\.blue\.logMean lies outside -3 to 3: 9/,
    ],
    [
      'a strength that is certain',
      (r) => (r['strengths'] = { blue: { logMean: 0, logSd: 0 } }),
      /strengths\.blue\.logSd must be greater than zero/,
    ],
    [
      'a strength of a stranger',
      (r) => (r['strengths'] = { red: { logMean: 0, logSd: 0.1 } }),
      /strengths: pigment “red” is not in the palette \(white, blue, ochre\)/,
    ],
    [
      'a further tint lighter than white',
      (r) =>
        ((r.palette[1] as Record<string, unknown>)['moreTints'] = [
          { lab: [99, 0, 0], pigment: 1, white: 30 },
        ]),
      /tint of “blue” \(L\* 99.0\) is lighter than the white/,
    ],
    [
      'a strength of nothing',
      (r) => ((r.palette[1] as Record<string, unknown>)['strength'] = 0),
      /strength of “blue” must be/,
    ],
  ])('%s', (_, change, message) => {
    expect(errorOf(change)).toMatch(message);
  });

  it('largest growth and strength are not called masses', () => {
    expect(errorOf((request) => Object.assign(request, { largestGrowth: 0 }))).toMatch(
      /^largestGrowth must be greater than zero; /,
    );
    expect(errorOf((request) => Object.assign(request.palette[1]!, { strength: 0 }))).toMatch(
      /strength of “blue” must be greater than zero; 1 is as characterised/,
    );
  });

  it.each([null, 3, 'pot', [1], {}])('a request that is %j', (given) => {
    const checked = checkNudgeRequest(given);
    expect(checked.ok).toBe(false);
    if (!checked.ok) expect(checked.error).toMatch(/^(the request is|palette is missing)/);
  });
});

describe('a history that contradicts itself', () => {
  const withHistory = (history: unknown) => errorOf((r) => (r['history'] = history));

  it('mass that vanishes', () => {
    expect(withHistory([{ pot: { white: 5, blue: 0.2 }, dabLab: [80, 0, -9] }])).toMatch(
      /“blue” falls from 0.2 g in history\[0\] to 0.05 g in pot; a pot can only be added to/,
    );
  });

  it('mass that vanishes in unequal parts, naming the one that fell most', () => {
    expect(withHistory([{ pot: { white: 6, blue: 0.2 }, dabLab: [80, 0, -9] }])).toMatch(
      /“blue” falls from 0.2 g/,
    );
  });

  it('but a part of the whole may be set aside', () => {
    const history = [{ pot: { white: 10, blue: 0.1 }, dabLab: [86, -3, -5] }];
    expect(checkNudgeRequest({ ...example(), history }).ok).toBe(true);
  });

  it('a glaze reading that is none', () => {
    expect(withHistory([{ pot: { white: 5 }, dabLab: [80, 0, -9], glazeLab: [80, 0] }])).toMatch(
      /history\[0\]\.glazeLab\[2\] is missing/,
    );
  });

  it('one pot with two colours', () => {
    expect(withHistory([{ pot: { white: 5, blue: 0.05 }, dabLab: [60, 0, 0] }])).toMatch(
      /history\[0\] and pot record the same pot, but their dabs are ΔE₀₀ \d+\.\d apart/,
    );
  });

  it('a pigment that is not in the palette', () => {
    expect(withHistory([{ pot: { green: 1 }, dabLab: [60, 0, 0] }])).toMatch(
      /history\[0\]: pigment “green” is not in the palette/,
    );
  });

  it('an attempt without its reading', () => {
    expect(withHistory([{ pot: { white: 5 } }])).toMatch(/history\[0\]\.dabLab is missing/);
  });

  it('but repeated readings of one pot are welcome', () => {
    const history = [{ pot: { white: 5, blue: 0.05 }, dabLab: [86.3, -3, -5.2] }];
    expect(checkNudgeRequest({ ...example(), history }).ok).toBe(true);
  });
});
