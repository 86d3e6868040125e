/**
 * The lamps of the studio: what is known of each beside its name. Names stand in the settings' own
 * list, whose first is the one in use; a reading carries the name.
 */
import * as v from 'valibot';
import { COLDEST_LAMP, HOTTEST_LAMP, LAMP_KINDS } from '../colour/lamp-light.ts';
import { instant, line, number, text, titled, type Frozen } from './fields.ts';

/** What the tile tells of the lamp's colour. */
const estimate = v.strictObject({
  x: titled('chromaticity x', number(0, 1)),
  y: titled('chromaticity y', number(0, 1)),
  kelvin: v.exactOptional(titled('correlated colour temperature, K', number(1000, 25_000))),
  duv: v.exactOptional(titled('distance from the Planckian locus', number(-0.2, 0.2))),
  at: titled('date estimated', instant),
  /** indicative: the camera balances white as it likes; profile: its sensor is characterised. */
  basis: titled('what the estimate rests on', v.picklist(['indicative', 'profile'])),
});

export const lamp = v.strictObject({
  name: titled('name of the lamp', line(80)),
  kind: titled('kind of lamp', v.picklist(LAMP_KINDS)),
  /** As printed on it; absent: not known. */
  kelvin: v.exactOptional(
    titled('colour temperature of the lamp, K', number(COLDEST_LAMP, HOTTEST_LAMP)),
  ),
  note: titled('note on the lamp', text(500)),
  estimate: v.exactOptional(titled('estimate from the tile', estimate)),
});
export type Lamp = Frozen<v.InferOutput<typeof lamp>>;
export type LampEstimate = NonNullable<Lamp['estimate']>;

/** A lamp of the studio; one that was only ever named has no more than that. */
export type NamedLamp = Pick<Lamp, 'name'> & Partial<Lamp>;

/** The part of the settings that lamps stand in. */
interface WithLamps {
  readonly lamps: readonly string[];
  readonly lampFacts?: readonly Lamp[];
}

/** Every lamp, the one in use first. */
export function lampsOf({ lamps, lampFacts = [] }: WithLamps): readonly NamedLamp[] {
  return lamps.map((name) => lampFacts.find((one) => one.name === name) ?? { name });
}

/** The settings with a lamp added or changed; `was` is its name before, when that changes. */
export function withLamp<S extends WithLamps>(settings: S, changed: Lamp, was = changed.name): S {
  const isThere = settings.lamps.includes(was);
  const names = isThere
    ? settings.lamps.map((name) => (name === was ? changed.name : name))
    : [...settings.lamps, changed.name];
  const others = (settings.lampFacts ?? []).filter(
    ({ name }) => name !== was && name !== changed.name,
  );
  return { ...settings, lamps: [...new Set(names)], lampFacts: [...others, changed] };
}

export function withoutLamp<S extends WithLamps>(settings: S, gone: string): S {
  return {
    ...settings,
    lamps: settings.lamps.filter((name) => name !== gone),
    lampFacts: (settings.lampFacts ?? []).filter(({ name }) => name !== gone),
  };
}

/** The settings with another lamp in use: readings carry its name from now on. */
export function usingLamp<S extends WithLamps>(settings: S, name: string): S {
  return { ...settings, lamps: [name, ...settings.lamps.filter((one) => one !== name)] };
}
