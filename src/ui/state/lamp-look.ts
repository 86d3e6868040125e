/** What the screen's own picture tells of the lamp: looked at for two seconds, then said. */
import {
  evennessOf,
  flickerOf,
  illuminanceOf,
  lampColour,
  lampColourThrough,
  tileLight,
  type EvennessMap,
  type Flicker,
  type LampColour,
  type TileLight,
} from '../../reading/lamp-check.ts';
import type { CameraProfile } from '../../reading/profile/profile.ts';
import { checkLight } from '../../reading/light-check.ts';
import type { EncodedPicture, PixelPolygon, TileColour } from '../../reading/types.ts';
import { nextFrame, shownPicture, type Shown } from './shown-picture.ts';

const FRAMES = 24;
const LONGEST_MS = 3000;
const LONGEST_FRAME_MS = 200;

export interface LampLook {
  readonly colour: LampColour;
  /** What the colour rests on: the camera as it encodes, or its profile. */
  readonly basis: 'indicative' | 'profile';
  /** Absent for a photograph. */
  readonly flicker?: Flicker;
  /** lx, to a factor of two; absent where the camera does not say how it exposes. */
  readonly lux?: number;
  /** Change of colour across the tile: a second light of another colour. */
  readonly colourShift?: number;
}

/**
 * Looks for a moment; undefined when the tile cannot be read.
 * @param profile one that holds for this camera and its white balance as they are now
 */
export async function lookAtLamp(
  source: Shown,
  size: { readonly width: number; readonly height: number },
  polygon: PixelPolygon,
  tile: TileColour,
  camera: Readonly<Record<string, unknown>>,
  profile?: CameraProfile,
): Promise<LampLook | undefined> {
  const lights: TileLight[] = [];
  let last: { picture: EncodedPicture; outline: PixelPolygon } | undefined;
  const wanted = source instanceof HTMLVideoElement ? FRAMES : 1;
  const end = performance.now() + LONGEST_MS;
  while (lights.length < wanted && performance.now() < end) {
    if (source instanceof HTMLVideoElement) await nextFrame(source, LONGEST_FRAME_MS);
    const shown = shownPicture(source, size.width, size.height);
    if (!shown) break;
    const { picture, scale } = shown;
    const outline = polygon.map(({ x, y }) => ({ x: x * scale, y: y * scale }));
    const light = tileLight(picture, outline);
    if (light) lights.push(light);
    last = { picture, outline };
  }
  if (lights.length === 0 || !last) return undefined;
  const mean = [0, 1, 2].map(
    (k) => lights.reduce((sum, light) => sum + light[k]!, 0) / lights.length,
  ) as unknown as TileLight;
  const flicker = flickerOf(lights, last.picture, last.outline);
  const shift = checkLight(last.picture, last.outline)?.colourShift;
  const lux = luxOf(camera, mean, tile);
  const through = profile && throughProfile(last.picture, last.outline, tile, profile);
  return {
    colour: through ?? lampColour(mean, tile),
    basis: through ? 'profile' : 'indicative',
    ...(flicker && { flicker }),
    ...(lux !== undefined && { lux }),
    ...(shift !== undefined && { colourShift: shift }),
  };
}

function throughProfile(
  picture: EncodedPicture,
  outline: PixelPolygon,
  tile: TileColour,
  profile: CameraProfile,
): LampColour | undefined {
  const light = tileLight({ ...picture, tone: profile.tone }, outline);
  return light && lampColourThrough(light, tile, profile);
}

export function lookAtEvenness(
  source: Shown,
  size: { readonly width: number; readonly height: number },
): EvennessMap | undefined {
  const shown = shownPicture(source, size.width, size.height);
  return shown && evennessOf(shown.picture);
}

/** `exposureTime` is in units of 100 µs (W3C Image Capture). */
function luxOf(
  { exposureTime, iso }: Readonly<Record<string, unknown>>,
  light: TileLight,
  { lab }: TileColour,
): number | undefined {
  if (typeof exposureTime !== 'number' || typeof iso !== 'number') return undefined;
  if (!(exposureTime > 0 && iso > 0)) return undefined;
  const reflectance = Math.max(0.3, ((lab[0] + 16) / 116) ** 3);
  // The brightest channel is what a camera exposes for.
  const level = Math.max(...light);
  return illuminanceOf({ seconds: exposureTime / 10_000, iso }, level, reflectance);
}
