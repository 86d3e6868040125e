/**
 * Colour profiles of the plainest kind, written by hand after ICC.1:2001-04 (version 2): three
 * primaries or a grey, and a gamma.
 */
import { big, joined, latin, zeros } from './bytes.ts';

type Xyz = readonly [number, number, number];

const D50: Xyz = [0.9642, 1, 0.8249];

/**
 * Primaries as seen after Bradford adaptation to D50. Of Adobe RGB (1998), from its encoding
 * specification, 4.3.1.1 (values as in LittleCMS' and colorjs.io's tables).
 */
export const WIDE_PRIMARIES: readonly [Xyz, Xyz, Xyz] = [
  [0.60974, 0.31111, 0.01947],
  [0.20528, 0.62567, 0.06087],
  [0.14919, 0.06322, 0.74457],
];
/** 563/256, as that specification rounds 2.2. */
export const WIDE_GAMMA = 563 / 256;

export function rgbProfile(primaries: readonly [Xyz, Xyz, Xyz], gamma: number): Uint8Array {
  const [r, g, b] = primaries;
  return profile('RGB ', [
    ['wtpt', xyz(D50)],
    ['rXYZ', xyz(r)],
    ['gXYZ', xyz(g)],
    ['bXYZ', xyz(b)],
    ['rTRC', curve(gamma)],
    ['gTRC', curve(gamma)],
    ['bTRC', curve(gamma)],
  ]);
}

export function greyProfile(gamma: number): Uint8Array {
  return profile('GRAY', [
    ['wtpt', xyz(D50)],
    ['kTRC', curve(gamma)],
  ]);
}

/** s15Fixed16. */
const fixed = (values: Xyz): Uint8Array => big(4, ...values.map((v) => Math.round(v * 65536)));
const xyz = (value: Xyz): Uint8Array => joined(latin('XYZ \0\0\0\0'), fixed(value));
/** One entry: a gamma, u8Fixed8. */
const curve = (gamma: number): Uint8Array =>
  joined(latin('curv\0\0\0\0'), big(4, 1), big(2, Math.round(gamma * 256)), zeros(2));
const description = (text: string): Uint8Array =>
  joined(latin('desc\0\0\0\0'), big(4, text.length + 1), latin(`${text}\0`), zeros(78));

function profile(space: string, tags: readonly (readonly [string, Uint8Array])[]): Uint8Array {
  const all = [
    ['desc', description('Invented')] as const,
    ...tags,
    ['cprt', latin('text\0\0\0\0none\0')] as const,
  ];
  const bodies = all.map(([, body]) => joined(body, zeros((4 - (body.length % 4)) % 4)));
  let at = 128 + 4 + 12 * all.length;
  const table = all.map(([name, body], i) => {
    const entry = joined(latin(name), big(4, at, body.length));
    at += bodies[i]!.length;
    return entry;
  });
  const header = joined(
    big(4, at),
    zeros(4),
    big(4, 0x02400000),
    latin(`mntr${space}XYZ `),
    zeros(12),
    latin('acsp'),
    zeros(28),
    fixed(D50),
    zeros(48),
  );
  return joined(header, big(4, all.length), ...table, ...bodies);
}
