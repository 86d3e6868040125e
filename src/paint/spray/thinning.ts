/** Thin enough to spray: flow cups, the plain test, and what the spray itself shows. */

export const THINNERS = ['water', 'solvent'] as const;
export type Thinner = (typeof THINNERS)[number];

/** ν = a·t − b/t (ISO 2431) or ν = a·(t − b) (ASTM D1200), for times within the cup's range. */
export interface FlowCup {
  readonly name: string;
  readonly law: 'iso2431' | 'astmD1200';
  readonly a: number;
  readonly b: number;
  /** Times the standard allows, s. */
  readonly seconds: readonly [low: number, high: number];
}

/**
 * ISO 2431 (2011 and later editions), the table of flow cups; ASTM D1200, the Ford cups as makers of
 * viscosity standards print it. Both from memory, the ranges checked in `thinning.test.ts`.
 */
export const FLOW_CUPS: readonly FlowCup[] = [
  { name: 'ISO 2431, 3 mm', law: 'iso2431', a: 0.443, b: 200, seconds: [30, 100] },
  { name: 'ISO 2431, 4 mm', law: 'iso2431', a: 1.37, b: 200, seconds: [30, 100] },
  { name: 'ISO 2431, 5 mm', law: 'iso2431', a: 3.28, b: 220, seconds: [30, 100] },
  { name: 'ISO 2431, 6 mm', law: 'iso2431', a: 6.9, b: 570, seconds: [30, 100] },
  { name: 'Ford no. 1', law: 'astmD1200', a: 0.49, b: 35, seconds: [55, 100] },
  { name: 'Ford no. 2', law: 'astmD1200', a: 1.44, b: 18, seconds: [40, 100] },
  { name: 'Ford no. 3', law: 'astmD1200', a: 2.31, b: 6.58, seconds: [20, 100] },
  { name: 'Ford no. 4', law: 'astmD1200', a: 3.85, b: 4.49, seconds: [20, 100] },
];

export type Viscosity =
  | { readonly ok: true; readonly squareMillimetresPerSecond: number }
  | { readonly ok: false; readonly error: string };

/** Kinematic viscosity, mm²/s, from the time the cup takes to the first break of the stream, s. */
export function kinematicViscosity({ name, law, a, b, seconds }: FlowCup, time: number): Viscosity {
  const [low, high] = seconds;
  if (!(time > 0)) return { ok: false, error: 'give the time of flow in seconds' };
  if (time < low) {
    return {
      ok: false,
      error: `is too short for ${name}, which holds from ${low} to ${high} s: take a finer cup, or go by the plain test`,
    };
  }
  if (time > high) {
    return {
      ok: false,
      error: `is too long for ${name}, which holds from ${low} to ${high} s: take a wider cup`,
    };
  }
  return {
    ok: true,
    squareMillimetresPerSecond: law === 'iso2431' ? a * time - b / time : a * (time - b),
  };
}

/** Common practice, no source. */
export const PLAIN_TEST =
  'It runs like milk: one drop down the side of the cup leaves a thin even film and no bead.';

export type SprayFault = 'too thick' | 'too thin' | 'too dry';

/** What is seen, what it is, and what to do about it. Common practice, no source. */
export const SIGNS: readonly {
  readonly sign: string;
  readonly fault: SprayFault;
  readonly correction: string;
}[] = [
  {
    sign: 'Spatter, coarse dots, the nozzle clogs',
    fault: 'too thick',
    correction: 'Add thinner a few drops at a time, strain, and clean the nozzle.',
  },
  {
    sign: 'Dry, dusty, rough to the finger',
    fault: 'too dry',
    correction: 'Come nearer or lower the pressure; else take a slower thinner.',
  },
  {
    sign: 'Runs, spiders, pools at the edge',
    fault: 'too thin',
    correction:
      'Lighter passes from further off, lower pressure; else add some of the unthinned mix.',
  },
  {
    sign: 'Colour parts from the water',
    fault: 'too thin',
    correction: 'Add some of the unthinned mix and stir well.',
  },
];
