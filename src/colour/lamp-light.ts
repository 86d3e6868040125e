/**
 * A spectrum for a lamp of which only the kind and the colour temperature are known. Paint is reckoned
 * under it when a pair must hold under more than one lamp; it is a likely lamp of its kind, not the
 * person's own.
 */
import { tableSpectrum, TABLE_WAVELENGTHS_NM } from './grid.ts';
import {
  daylight,
  F11,
  F2,
  F7,
  LED_B3,
  LED_B4,
  LED_B5,
  planckian,
  type Illuminant,
} from './illuminants.ts';

export const LAMP_KINDS = ['daylight', 'halogen', 'led', 'fluorescent'] as const;
export type LampKind = (typeof LAMP_KINDS)[number];

/** Colour temperatures a lamp may be said to have, K. */
export const COLDEST_LAMP = 1500;
export const HOTTEST_LAMP = 20_000;

/** What a lamp of the kind is taken for when its temperature is not known, K. */
export const USUAL_KELVIN: Readonly<Record<LampKind, number>> = {
  daylight: 6500,
  halogen: 3000,
  led: 4100,
  fluorescent: 4000,
};

/** Published lamps of a kind and their temperatures, K (CIE 15:2004, CIE 015:2018). */
const PUBLISHED = {
  led: [
    [LED_B3, 4103],
    [LED_B4, 5109],
    [LED_B5, 6598],
  ],
  fluorescent: [
    [F11, 4000],
    [F2, 4230],
    [F7, 6500],
  ],
} as const;

/**
 * Daylight and halogen by their equations (daylight below 4000 K, a low sun, as a Planckian radiator);
 * LED and fluorescent as the nearest published lamp, tilted by the ratio of two Planckian radiators to
 * the temperature asked for. `kelvin` in 1500–20 000; else a RangeError. The same lamp is the same
 * object each time.
 */
export function lampLight(kind: LampKind, kelvin: number = USUAL_KELVIN[kind]): Illuminant {
  if (!(kelvin >= COLDEST_LAMP && kelvin <= HOTTEST_LAMP)) {
    throw new RangeError(`a lamp has ${COLDEST_LAMP} to ${HOTTEST_LAMP} K, not ${String(kelvin)}`);
  }
  const key = `${kind} ${kelvin}`;
  const known = made.get(key) ?? make(kind, kelvin);
  made.set(key, known);
  return known;
}

const made = new Map<string, Illuminant>();

function make(kind: LampKind, kelvin: number): Illuminant {
  if (kind === 'halogen') return planckian(kelvin);
  if (kind === 'daylight') return kelvin >= 4000 ? daylight(kelvin) : planckian(kelvin);
  const [lamp, at] = [...PUBLISHED[kind]].sort(
    ([, p], [, q]) => Math.abs(Math.log(p / kelvin)) - Math.abs(Math.log(q / kelvin)),
  )[0]!;
  const [to, from] = [planckian(kelvin).power, planckian(at).power];
  return {
    name: `${kind} ${kelvin} K`,
    power: tableSpectrum(TABLE_WAVELENGTHS_NM.map((_, k) => (lamp.power[k]! * to[k]!) / from[k]!)),
  };
}
