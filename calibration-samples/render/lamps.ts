/** Lamps: CIE illuminants, Planckian radiators and invented white LEDs, split for tuning and judging. */
import { A, daylight, D50, F2, F7, F11, LED_B4, planckian } from '../../src/colour/illuminants.ts';
import { skewedBell, spectrumOf, type Spectrum } from './spectra.ts';

export type Part = 'tune' | 'judge';

export interface Lamp {
  readonly id: string;
  readonly part: Part | 'both';
  readonly power: Spectrum;
}

/** A white LED: pump, one or two phosphors; every number invented. [peak nm, left, right, height] */
function led(bands: readonly (readonly [number, number, number, number])[]): Spectrum {
  return spectrumOf((nm) =>
    bands.reduce(
      (sum, [peak, left, right, h]) => sum + h * skewedBell(nm, peak, left, right),
      1e-4,
    ),
  );
}

export const LAMPS: readonly Lamp[] = [
  { id: 'halogen-2856', part: 'tune', power: A.power },
  { id: 'halogen-3200', part: 'tune', power: planckian(3200).power },
  { id: 'daylight-5000', part: 'tune', power: D50.power },
  { id: 'fluorescent-halophosphate', part: 'tune', power: F2.power },
  {
    id: 'led-warm-one-phosphor',
    part: 'tune',
    power: led([
      [453, 8, 10, 0.42],
      [598, 52, 62, 1],
    ]),
  },
  {
    id: 'led-neutral-two-phosphors',
    part: 'tune',
    power: led([
      [448, 9, 11, 0.8],
      [542, 34, 55, 0.9],
      [618, 30, 42, 0.75],
    ]),
  },
  {
    id: 'led-high-fidelity-3000',
    part: 'tune',
    power: led([
      [421, 8, 14, 0.18],
      [468, 22, 30, 0.3],
      [540, 40, 46, 0.55],
      [640, 55, 48, 1],
    ]),
  },
  { id: 'halogen-2700', part: 'judge', power: planckian(2700).power },
  { id: 'halogen-3700', part: 'judge', power: planckian(3700).power },
  { id: 'daylight-6000', part: 'judge', power: daylight(6000).power },
  { id: 'fluorescent-three-band', part: 'judge', power: F11.power },
  { id: 'fluorescent-daylight', part: 'judge', power: F7.power },
  { id: 'led-b4', part: 'judge', power: LED_B4.power },
  {
    id: 'led-warm-two-phosphors',
    part: 'judge',
    power: led([
      [457, 9, 12, 0.36],
      [552, 36, 50, 0.62],
      [630, 34, 40, 0.95],
    ]),
  },
  {
    id: 'led-cool-one-phosphor',
    part: 'judge',
    power: led([
      [446, 8, 10, 2],
      [556, 40, 66, 0.85],
    ]),
  },
  {
    id: 'led-high-fidelity-4500',
    part: 'judge',
    power: led([
      [411, 7, 9, 0.25],
      [462, 20, 34, 0.62],
      [536, 38, 48, 0.62],
      [626, 52, 56, 0.86],
    ]),
  },
];

export const lampsOf = (part: Part): readonly Lamp[] =>
  LAMPS.filter((lamp) => lamp.part === part || lamp.part === 'both');

export function lampById(id: string): Lamp {
  const lamp = LAMPS.find((candidate) => candidate.id === id);
  if (!lamp) throw new RangeError(`no lamp called "${id}"`);
  return lamp;
}
