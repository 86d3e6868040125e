/**
 * Cameras, lamps and surfaces as they may be: what is known before any chart is seen. Smooth bells and
 * edges at places drawn evenly from wide ranges, no camera's, lamp's or paint's own; every figure invented
 * to hold what is published in kind (sensitivities: Jiang, Liu, Gu, Süsstrunk 2013, “What is the space
 * of spectral sensitivity functions for digital color cameras?”, IEEE WACV).
 * All spectra on the grid of the tables, 380–780 nm at 5 nm.
 */
import { TABLE_WAVELENGTHS_NM } from '../../colour/grid.ts';
import { daylight, planckian } from '../../colour/illuminants.ts';

export type Curve = Float64Array;
/** Numbers spread evenly over 0–1, always the same: the core has no randomness of its own. */
export type Draw = () => number;

/** Marsaglia's xorshift (2003) from a fixed seed. */
export function fixedDraws(seed: number): Draw {
  let state = (seed * 2654435761) >>> 0 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state / 2 ** 32;
  };
}

const curve = (value: (nm: number) => number): Curve =>
  Float64Array.from(TABLE_WAVELENGTHS_NM, value);
const bell = (nm: number, peak: number, left: number, right: number) =>
  Math.exp(-0.5 * ((nm - peak) / (nm < peak ? left : right)) ** 2);
/** 0 well below `at`, 1 well above it. */
const rise = (nm: number, at: number, width: number) => 1 / (1 + Math.exp((at - nm) / width));
const between = (draw: Draw, low: number, high: number) => low + (high - low) * draw();
const decades = (draw: Draw, low: number, high: number) => low * (high / low) ** draw();

/** Red, green and blue: one bell each, leaks into the others, a cut at either end. */
export function plausibleCamera(draw: Draw): readonly [Curve, Curve, Curve] {
  const [uv, ir] = [between(draw, 390, 425), between(draw, 640, 700)];
  const [uvWidth, irWidth] = [between(draw, 3, 9), between(draw, 5, 16)];
  const channel = (from: number, to: number, leaks: readonly (readonly [number, number])[]) => {
    const peak = between(draw, from, to);
    const [left, right] = [between(draw, 18, 46), between(draw, 20, 60)];
    const others = leaks.map(
      ([at, most]) =>
        [between(draw, at - 20, at + 20), between(draw, 15, 40), most * draw()] as const,
    );
    return curve(
      (nm) =>
        rise(nm, uv, uvWidth) *
        (1 - rise(nm, ir, irWidth)) *
        others.reduce((s, [at, w, h]) => s + h * bell(nm, at, w, w), bell(nm, peak, left, right)),
    );
  };
  return [
    channel(580, 625, [[535, 0.25], [445, 0.15]]),
    channel(515, 550, [[490, 0.25], [610, 0.2], [445, 0.12]]),
    channel(440, 475, [[510, 0.3], [610, 0.05]]),
  ]; // prettier-ignore
}

/** Halogen, daylight, a white LED (pump and phosphors), or a tube (phosphors and mercury's lines). */
export function plausibleLamp(draw: Draw): Curve {
  const kind = Math.floor(5 * draw());
  if (kind === 0) return planckian(between(draw, 2400, 4000)).power;
  if (kind === 1) return daylight(between(draw, 4200, 7500)).power;
  const phosphor = [
    [between(draw, 545, 600), between(draw, 30, 60), between(draw, 40, 70), 1],
    [between(draw, 605, 645), between(draw, 20, 50), between(draw, 25, 50), draw()],
    [between(draw, 480, 530), between(draw, 20, 40), between(draw, 25, 45), 0.5 * draw()],
  ] as const;
  const glow = (nm: number) =>
    phosphor.reduce((s, [at, left, right, h]) => s + h * bell(nm, at, left, right), 0.002);
  if (kind < 4) {
    const [pump, width, height] = [
      between(draw, 435, 465),
      between(draw, 7, 15),
      decades(draw, 0.2, 2.5),
    ];
    return curve((nm) => glow(nm) + height * bell(nm, pump, width, 1.2 * width));
  }
  const blue = [between(draw, 440, 460), between(draw, 15, 35), decades(draw, 0.1, 0.9)] as const;
  // Mercury, nm (NIST Atomic Spectra Database): 404.7, 435.8, 546.1, 578.
  const lines = [404.7, 435.8, 546.1, 578].map((at) => [at, between(draw, 0.1, 1)] as const);
  return curve((nm) =>
    lines.reduce(
      (s, [at, h]) => s + h * bell(nm, at, 3, 3),
      glow(nm) + blue[2] * bell(nm, blue[0], blue[1], blue[1]),
    ),
  );
}

/**
 * Opaque paint: one to three unknown pigments in white, by Kubelka and Munk (1931) with Saunderson's inner
 * reflection (1942, k₂ = 0.6); some pigments absorb in bands, some below an edge.
 */
export function plausibleSurface(draw: Draw): Curve {
  const white = curve((nm) => 0.002 + 0.9 * (1 - rise(nm, 400, 5)));
  const absorbed = Float64Array.from(white);
  const scattered = curve(() => 1);
  for (let n = 1 + Math.floor(3 * draw()); n > 0; n--) {
    const amount = decades(draw, 0.002, 5);
    const [floor, S, slope] = [decades(draw, 0.01, 2), decades(draw, 0.06, 1.2), 1.4 * draw()];
    const hasEdge = draw() < 0.5;
    const bands = Array.from(
      { length: Math.floor(4 * draw()) + (hasEdge ? 0 : 1) },
      () =>
        [
          between(draw, 400, 760),
          decades(draw, 16, 80),
          decades(draw, 16, 80),
          decades(draw, 0.5, 10),
        ] as const,
    );
    const edges = Array.from(
      { length: hasEdge ? 1 + Math.floor(2 * draw()) : 0 },
      () => [between(draw, 400, 620), decades(draw, 6, 30), decades(draw, 0.5, 10)] as const,
    );
    TABLE_WAVELENGTHS_NM.forEach((nm, i) => {
      const K =
        bands.reduce((s, [at, left, right, h]) => s + h * bell(nm, at, left, right), floor) +
        edges.reduce((s, [at, width, h]) => s + h * (1 - rise(nm, at, width)), 0);
      absorbed[i]! += amount * K;
      scattered[i]! += amount * S * (550 / nm) ** slope;
    });
  }
  return absorbed.map((K, i) => {
    const ratio = K / scattered[i]!;
    const infinite = 1 + ratio - Math.sqrt(ratio * ratio + 2 * ratio);
    return (0.4 * infinite) / (1 - 0.6 * infinite);
  });
}
