/**
 * How well the tone response comes back: the renderer's camera curves, seen on the tile in several
 * exposures, under several lamp distances, on a grey card of known and of unknown value, with the noise
 * that a patch's mean code has. Largest error of light from the darkest to the brightest seen, as a share
 * of the brightest; the design wants 1 %.
 */
import { TONE_STYLES, toneCurve, type ToneStyle } from '../../calibration-samples/render/isp.ts';
import { Random } from '../../calibration-samples/render/random.ts';
import { lightOfEncoded } from '../../src/reading/profile/profile.ts';
import { toneFromShots, type ToneShot } from '../../src/reading/profile/tone-profile.ts';

const CARD = [0.9, 0.72, 0.56, 0.43, 0.32, 0.22, 0.14, 0.08, 0.045];
const ALONG = (i: number) => 0.95 * (0.2 + (0.8 * i) / 11) ** 2.2;

interface Way {
  readonly name: string;
  readonly places: readonly number[];
  readonly lights: readonly number[];
  readonly isKnown: boolean;
}
const WAYS: readonly Way[] = [
  {
    name: 'tile, 12 exposure times',
    places: [1],
    lights: Array.from({ length: 12 }, (_, i) => ALONG(i)),
    isKnown: false,
  },
  {
    name: 'tile, 8 lamp distances',
    places: [1],
    lights: [40, 44, 50, 58, 68, 84, 110, 160].map((cm) => 0.95 * (40 / cm) ** 2),
    isKnown: false,
  },
  { name: '9 steps, values known', places: CARD, lights: [1], isKnown: true },
  { name: '9 steps, unknown, 2 shots', places: CARD, lights: [1, 0.7], isKnown: false },
  { name: '9 steps, unknown, 3 shots', places: CARD, lights: [1, 0.75, 0.5], isKnown: false },
];

/** Standard deviation of a patch's mean code, of 255. */
const NOISE = 0.2;

export function evaluateTones(cameras: number, firstSeed: number): string {
  const lines = [`${'way'.padEnd(27)}${TONE_STYLES.map((s) => s.padEnd(17)).join('')}within 1 %`];
  for (const way of WAYS) {
    const byStyle = TONE_STYLES.map((style) =>
      Array.from({ length: cameras }, (_, i) => errorOf(way, style, firstSeed + i)),
    );
    const cells = byStyle.map((errors) =>
      `${(100 * at(errors, 0.5)).toFixed(2)} ${(100 * at(errors, 0.95)).toFixed(2)}`.padEnd(17),
    );
    const all = byStyle.flat();
    const within = all.filter((error) => error <= 0.01).length / all.length;
    lines.push(`${way.name.padEnd(27)}${cells.join('')}${(100 * within).toFixed(0)} %`);
  }
  return `${lines.join('\n')}\n(largest error, % of range: median and 95th percentile)`;
}

function errorOf({ places, lights, isKnown }: Way, style: ToneStyle, seed: number): number {
  const random = new Random(seed);
  const tone = { style, strength: random.range(0, 1) };
  const code = (light: number) => toneCurve(tone, light);
  const shots: ToneShot[] = lights.map((light) => ({
    light,
    places: places.map((place) => {
      const one = () => code(place * light) + (NOISE * random.gaussian()) / 255;
      const seen = [one(), one(), one()] as const;
      return Math.max(...seen) < 0.985 && Math.min(...seen) > 0.02 ? seen : undefined;
    }),
  }));
  const fitted = toneFromShots(shots, isKnown ? places : undefined);
  if (!fitted.ok) return Infinity;
  const used = shots.flatMap((shot) =>
    shot.places.flatMap((seen, i) => (seen ? [places[i]! * shot.light] : [])),
  );
  const [low, top] = [Math.min(...used), Math.max(...used)];
  const [curve] = fitted.fit.tone;
  const scale = top / lightOfEncoded(curve, code(top));
  let worst = 0;
  for (let light = low; light <= top; light += 0.01) {
    worst = Math.max(worst, Math.abs(scale * lightOfEncoded(curve, code(light)) - light) / top);
  }
  return worst;
}

const at = (values: readonly number[], share: number): number =>
  [...values].sort((p, q) => p - q)[Math.floor(share * (values.length - 1))] ?? NaN;
