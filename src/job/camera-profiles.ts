/** The camera profiles the person made, and which of them readings use. */
import * as v from 'valibot';
import { chromaticityOf } from '../colour/cct.ts';
import { COLDEST_LAMP, HOTTEST_LAMP, lampLight } from '../colour/lamp-light.ts';
import { whiteOfIlluminant } from '../colour/spectra.ts';
import {
  COLOUR_METHODS,
  fitsMethod,
  rises,
  type CameraProfile,
} from '../reading/profile/profile.ts';
import { instant, line, listOf, number, text, titled, type Frozen } from './fields.ts';
import type { Lamp } from './lamps.ts';

const curve = titled(
  'tone response',
  v.pipe(
    listOf(number(-1, 1e6), 2, 1025),
    v.check((values) => rises(values), 'must rise'),
  ),
);
const error = number(0, 200);
const row = listOf(number(-1000, 1000), 3, 6);

const colour = v.pipe(
  v.strictObject({
    method: titled('method', v.picklist(COLOUR_METHODS)),
    rows: v.strictTuple([row, row, row]),
    leftOut: v.strictObject({ mean: error, largest: error }),
  }),
  v.check((one) => fitsMethod(one), 'has rows of another length than its method'),
);

export const cameraProfile = v.strictObject({
  name: titled('name of the profile', line(80)),
  camera: titled('camera of the profile', text(200)),
  madeOn: titled('date of the profile', instant),
  tone: v.strictTuple([curve, curve, curve]),
  whiteLogRatios: v.strictTuple([number(-10, 10), number(-10, 10)]),
  lamp: v.exactOptional(
    titled(
      'lamp of the profile',
      v.strictObject({
        x: number(0, 1),
        y: number(0, 1),
        kelvin: number(COLDEST_LAMP, HOTTEST_LAMP),
      }),
    ),
  ),
  colour: v.exactOptional(titled('colour transform', colour)),
});
export type KeptProfile = Frozen<v.InferOutput<typeof cameraProfile>>;

/** The part of the settings that profiles stand in. */
export interface WithProfiles {
  readonly cameraProfiles?: readonly KeptProfile[];
  readonly profile?: string;
}

/** The profile that readings use; undefined: sRGB is assumed. */
export function profileInUse(settings: WithProfiles | undefined): CameraProfile | undefined {
  return settings?.cameraProfiles?.find(({ name }) => name === settings.profile);
}

/** The settings with a profile added, in place of one of the same name, and in use. */
export function withProfile<S extends WithProfiles>(settings: S, made: KeptProfile): S {
  const others = (settings.cameraProfiles ?? []).filter(({ name }) => name !== made.name);
  return { ...settings, cameraProfiles: [...others, made], profile: made.name };
}

/** The settings without a profile; readings that used it keep its name. */
export function withoutProfile<S extends WithProfiles>(settings: S, gone: string): S {
  const { profile, ...rest } = settings;
  const cameraProfiles = (settings.cameraProfiles ?? []).filter(({ name }) => name !== gone);
  const kept = profile === undefined || profile === gone ? {} : { profile };
  return { ...rest, cameraProfiles, ...kept } as unknown as S;
}

/** The settings with another profile in use, or with none. */
export function usingProfile<S extends WithProfiles>(settings: S, name: string | undefined): S {
  if (name !== undefined) return { ...settings, profile: name };
  const rest = { ...settings };
  Reflect.deleteProperty(rest, 'profile');
  return rest;
}

/** What a profile keeps of the lamp it is made under, where kind and temperature are known: others are told by it. */
export function lampMadeUnder(
  { lampFacts = [] }: { readonly lampFacts?: readonly Lamp[] },
  inUse: string,
): KeptProfile['lamp'] {
  const lamp = lampFacts.find(({ name }) => name === inUse);
  if (lamp?.kelvin === undefined) return undefined;
  const { x, y } = chromaticityOf(whiteOfIlluminant(lampLight(lamp.kind, lamp.kelvin)));
  return { x, y, kelvin: lamp.kelvin };
}
