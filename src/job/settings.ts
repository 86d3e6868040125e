/** What the person set for the bench; one record. */
import * as v from 'valibot';
import { cameraProfile } from './camera-profiles.ts';
import { idOf, kindAndDates, SCHEMA_VERSION } from './commission.ts';
import { line, listOf, recordOf, thresholds, tile, titled, type Frozen } from './fields.ts';
import { SETTINGS_ID } from './ids.ts';
import { lamp } from './lamps.ts';
import { brush } from './spray-plan.ts';

export const settings = v.strictObject({
  ...kindAndDates('settings'),
  thresholds: titled('thresholds', thresholds),
  /** The tiles the person owns; the first is the one in use. */
  tiles: titled('tiles', listOf(tile, 1, 50)),
  /** The lamps the person named; the first is the one in use. */
  lamps: titled('lamps', listOf(line(80), 0, 50)),
  /** What is known of them beside their names; absent: nothing. */
  lampFacts: v.exactOptional(titled('what is known of the lamps', listOf(lamp, 0, 50))),
  /** The airbrushes, each as it sprayed last when it sprayed well; absent: none yet. */
  brushes: v.exactOptional(titled('brushes', listOf(brush, 0, 50))),
  /** Of the cameras; absent: none yet. */
  cameraProfiles: v.exactOptional(titled('camera profiles', listOf(cameraProfile, 0, 50))),
  /** Name of the one that readings use; absent: none, sRGB is assumed. */
  profile: v.exactOptional(titled('camera profile in use', line(80))),
  /** How masses are shown. */
  massUnit: titled('unit of mass', v.picklist(['g', 'mg', 'dose'])),
  /** Language of numbers, BCP 47; absent: the browser's. */
  numberLocale: v.exactOptional(
    titled('language of numbers', v.pipe(v.string(), v.regex(/^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$/))),
  ),
  /** Results are spoken. */
  spoken: titled('spoken results', v.boolean()),
  /** Keys and pedals the person assigned, by action, as the browser names keys. */
  keys: v.exactOptional(titled('keys', recordOf(line(20), listOf(line(40), 0, 4)))),
  /** The palette new attempts are mixed from. */
  palette: v.exactOptional(titled('palette in use', idOf('palette'))),
  /** The person's own name for "who did it" in records; empty until they write it. */
  treatedBy: titled('who did it', v.pipe(v.string(), v.maxLength(200))),
});
export type Settings = Frozen<v.InferOutput<typeof settings>>;

/** Thresholds: 50:50 acceptability and perceptibility, ceramic specimens (Paravina et al. 2015). */
export const DEFAULT_THRESHOLDS = { acceptable: 1.8, imperceptible: 0.8 } as const;

/**
 * The settings of a bench nobody has set yet.
 * @param tile the tile to start with: the typical glazed white tile of the reading
 * @param at now, UTC
 */
export function firstSettings(tile: Settings['tiles'][number], at: Date): Settings {
  return {
    kind: 'settings',
    schema: SCHEMA_VERSION,
    id: SETTINGS_ID,
    createdAt: at.toISOString(),
    updatedAt: at.toISOString(),
    thresholds: DEFAULT_THRESHOLDS,
    tiles: [tile],
    lamps: [],
    massUnit: 'g',
    spoken: false,
    treatedBy: '',
  };
}
