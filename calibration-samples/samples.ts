/** The sample photographs: what each shows, from which seed, and what a reading of it must do. */
import type { Part } from './render/lamps.ts';
import type { SceneWish } from './render/sample-scene.ts';

export interface Sample {
  readonly name: string;
  readonly shows: string;
  readonly seed: number;
  readonly part: Part;
  readonly wish: SceneWish;
  /** JPEG quality; absent for PNG. */
  readonly jpeg?: number;
  /** The request gives the tile's measured colour. */
  readonly tileKnown?: boolean;
  readonly must: Must;
}

/** `read`: the difference within so many ΔE₀₀ of the truth. `refuse`: for one of these reasons. */
export type Must =
  | { readonly read: { readonly within: number } }
  | { readonly refuse: readonly string[] }
  | { readonly refuse: readonly string[]; readonly orRead: { readonly within: number } };

const SIZE = [960, 720] as const;
const plain = {
  size: SIZE,
  highlight: 'none',
  reflection: 'none',
  band: false,
  clutter: false,
  pigments: 'same',
  level: 0.84,
} as const;

export const SAMPLES: readonly Sample[] = [
  {
    name: 'flat-warm-lamp',
    shows: 'a flat glazed plaque under a halogen lamp, a small difference',
    seed: 11,
    part: 'tune',
    wish: { ...plain, shape: 'flat', lampId: 'halogen-2856', deltaE00: 1.2, dabPixels: 90, lightness: [75, 90], texture: 'plain', tone: { style: 'srgb', strength: 0 } },
    tileKnown: true,
    must: { read: { within: 0.6 } },
  },
  {
    name: 'flat-cool-lamp',
    shows: 'a flat plaque under a cool white LED, a large difference',
    seed: 12,
    part: 'judge',
    wish: { ...plain, shape: 'flat', lampId: 'led-cool-one-phosphor', deltaE00: 8, dabPixels: 120, lightness: [40, 70], texture: 'plain', tone: { style: 'srgb', strength: 0 } },
    must: { read: { within: 0.9 } },
  },
  {
    name: 'curved-equal-colours',
    shows: 'a bowl, the dab of the very colour of the glaze',
    seed: 13,
    part: 'tune',
    wish: { ...plain, shape: 'bowl', deltaE00: 0, dabPixels: 110, lightness: [60, 90], texture: 'plain', dabFinish: 'gloss' },
    must: { read: { within: 0.4 } },
  },
  {
    name: 'cylinder-lamp-gradient',
    shows: 'a jar on its side close to the lamp, light falling off across it',
    seed: 14,
    part: 'judge',
    wish: { ...plain, shape: 'cylinder', deltaE00: 2.4, dabPixels: 130, lightness: [60, 85], texture: 'mottled', tone: { style: 'srgb', strength: 0 } },
    must: { read: { within: 0.6 } },
  },
  {
    name: 'highlight-near-dab',
    shows: 'the lamp mirrored in the glaze beside the dab',
    seed: 15,
    part: 'tune',
    wish: { ...plain, shape: 'bowl', highlight: 'near', deltaE00: 3, dabPixels: 80, lightness: [50, 85], dabFinish: 'matt' },
    must: { read: { within: 0.7 } },
  },
  {
    name: 'highlight-on-dab',
    shows: 'the lamp mirrored on the dab itself',
    seed: 16,
    part: 'tune',
    wish: { ...plain, shape: 'bowl', highlight: 'on', deltaE00: 3, dabPixels: 90, lightness: [40, 80], dabFinish: 'gloss' },
    must: { refuse: ['dab-highlight', 'dab-clipped'], orRead: { within: 0.9 } },
  },
  {
    name: 'tile-clipped',
    shows: 'an exposure so high that the tile is burnt out',
    seed: 17,
    part: 'tune',
    wish: { ...plain, fault: 'tile-clipped',
 level: 1.15, shape: 'cylinder', deltaE00: 2, dabPixels: 90, lightness: [40, 70] },
    must: { refuse: ['tile-clipped'] },
  },
  {
    name: 'tile-dark',
    shows: 'an exposure far too low',
    seed: 18,
    part: 'judge',
    wish: { ...plain, fault: 'tile-dark',
      level: 0.24, shape: 'bowl', deltaE00: 2, dabPixels: 90 },
    must: { refuse: ['tile-dark'] },
  },
  {
    name: 'no-tile',
    shows: 'no tile in the picture; sheets of paper lie about',
    seed: 19,
    part: 'judge',
    wish: { ...plain, fault: 'tile-missing', shape: 'bowl', deltaE00: 2, dabPixels: 90, clutter: true, bench: 'wood' },
    must: { refuse: ['tile-missing'] },
  },
  {
    name: 'dab-clipped',
    shows: 'a white piece so near the lamp that the dab is burnt out, not the tile',
    seed: 20,
    part: 'tune',
    wish: { ...plain, fault: 'dab-clipped',
      shape: 'bowl',
 deltaE00: 2, dabPixels: 90 },
    must: { refuse: ['dab-clipped', 'glaze-clipped'] },
  },
  {
    name: 'band-nearby',
    shows: 'a painted band close to the dab, so that the ring of glaze is not all glaze',
    seed: 21,
    part: 'judge',
    wish: { ...plain, band: true, shape: 'cylinder', deltaE00: 1.8, dabPixels: 90, lightness: [70, 90], texture: 'plain' },
    tileKnown: true,
    must: { read: { within: 0.7 } },
  },
  {
    name: 'small-dab',
    shows: 'a dab of 26 pixels',
    seed: 22,
    part: 'tune',
    wish: { ...plain, shape: 'bowl', deltaE00: 2.8, dabPixels: 26, lightness: [60, 85], texture: 'plain' },
    must: { read: { within: 0.9 } },
  },
  {
    name: 'dab-on-tile',
    shows: 'the dab laid on the tile, the glaze read on the piece',
    seed: 23,
    part: 'tune',
    wish: { ...plain, dabOn: 'tile', shape: 'flat', deltaE00: 5, lightness: [55, 80] },
    must: { read: { within: 8 } },
  },
  {
    name: 'dark-glaze',
    shows: 'a dark iron glaze',
    seed: 24,
    part: 'judge',
    wish: { ...plain, shape: 'cylinder', deltaE00: 3, dabPixels: 110, lightness: [12, 30], dabFinish: 'matt' },
    must: { read: { within: 0.9 } },
  },
  {
    name: 'other-pigments',
    shows: 'a dab mixed from other pigments than the glaze holds',
    seed: 25,
    part: 'judge',
    wish: { ...plain, pigments: 'other', shape: 'bowl', deltaE00: 3, dabPixels: 110, lightness: [50, 85], texture: 'plain' },
    must: { read: { within: 1.5 } },
  },
  {
    name: 'speckled-cluttered',
    shows: 'a speckled glaze on a wooden bench with papers about, through JPEG and a contrasty tone curve',
    seed: 26,
    part: 'judge',
    wish: { ...plain, shape: 'bowl', bench: 'wood', clutter: true, texture: 'speckled', deltaE00: 2, dabPixels: 120, lightness: [60, 85], tone: { style: 's-chroma', strength: 0.6 } },
    jpeg: 92,
    must: { read: { within: 0.9 } },
  },
  {
    name: 'coloured-reflection',
    shows: 'something coloured mirrored in a dark gloss glaze round the dab',
    seed: 27,
    part: 'tune',
    wish: { ...plain, reflection: 'strong', shape: 'flat', deltaE00: 2, dabPixels: 110, lightness: [10, 35], texture: 'plain', dabFinish: 'matt' },
    jpeg: 95,
    must: { refuse: ['coloured-reflection'], orRead: { within: 0.9 } },
  },
  {
    name: 'fluorescent-tubes',
    shows: 'a turned piece under three-band fluorescent light, phone-like tone curve',
    seed: 28,
    part: 'judge',
    wish: { ...plain, shape: 'cylinder', lampId: 'fluorescent-three-band', deltaE00: 4, dabPixels: 100, lightness: [60, 85], tone: { style: 'roll-off', strength: 0.4 } },
    jpeg: 93,
    must: { read: { within: 0.9 } },
  },
]; // prettier-ignore
