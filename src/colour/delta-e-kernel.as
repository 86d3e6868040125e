// AssemblyScript: ΔE₀₀ of pixels from one constant colour, four at a time in single precision.
// What it computes, and from which equations, stands in delta-e-kernel.ts beside it; equation
// numbers are those of ciede2000.ts. `npm run kernel` compiles it into delta-e-kernel-code.ts.

/** Pixels of one call at most. */
export const CHUNK: i32 = 4096;
/** Steps of the hue table in one quadrant; a power of two. */
export const QUADRANT: i32 = 512;

export const rgba = memory.data(4 * 4096, 16);
export const shading = memory.data(4 * 4096, 16);
export const differences = memory.data(4 * 4096, 16);
export const linearOfCode = memory.data(4 * 256, 16);
/** X/Xn, Y/Yn, Z/Zn from linear RGB, row by row; then L*, a*, b*, C* of the constant colour. */
export const constants = memory.data(4 * 13, 16);
/** For each step: T, its rise to the next step, the blue rotation, its rise. */
export const hueTable = memory.data(4 * 4 * 4 * 512, 16);

// @ts-ignore: decorator
@inline function k(x: f32): v128 { return f32x4.splat(x); }
// @ts-ignore: decorator
@inline function add(x: v128, y: v128): v128 { return f32x4.add(x, y); }
// @ts-ignore: decorator
@inline function sub(x: v128, y: v128): v128 { return f32x4.sub(x, y); }
// @ts-ignore: decorator
@inline function mul(x: v128, y: v128): v128 { return f32x4.mul(x, y); }
// @ts-ignore: decorator
@inline function div(x: v128, y: v128): v128 { return f32x4.div(x, y); }
// @ts-ignore: decorator
@inline function mid(x: v128, y: v128): v128 { return mul(k(0.5), add(x, y)); }
// @ts-ignore: decorator
@inline function either(condition: v128, yes: v128, no: v128): v128 {
  return v128.bitselect(yes, no, condition);
}
// @ts-ignore: decorator
@inline function constant(at: usize): v128 { return v128.load_splat<f32>(constants + (at << 2)); }

/** Linear value of one channel of four pixels. */
// @ts-ignore: decorator
@inline function linear(channel: usize): v128 {
  let v = v128.load_zero<f32>(linearOfCode + (<usize>load<u8>(channel) << 2));
  v = v128.load_lane<f32>(linearOfCode + (<usize>load<u8>(channel, 4) << 2), v, 1);
  v = v128.load_lane<f32>(linearOfCode + (<usize>load<u8>(channel, 8) << 2), v, 2);
  return v128.load_lane<f32>(linearOfCode + (<usize>load<u8>(channel, 12) << 2), v, 3);
}

/** One third-order step of y towards x^(−1/3). */
// @ts-ignore: decorator
@inline function refined(x: v128, y: v128): v128 {
  const c = sub(k(1), mul(mul(x, y), mul(y, y)));
  return add(y, mul(mul(y, c), add(k(1.0 / 3.0), mul(k(2.0 / 9.0), c))));
}

/** f of CIELAB: a first guess of x^(−1/3) from the exponent, two steps, and the line near black. */
// @ts-ignore: decorator
@inline function f(x: v128): v128 {
  const third = i32x4.mul(i32x4.shr_u(x, 12), i32x4.splat(1365)); // bits / 3, as 1365 / 4096
  const y = refined(x, refined(x, i32x4.sub(i32x4.splat(0x54a21d2a), third)));
  const line = add(mul(x, k(841.0 / 108.0)), k(4.0 / 29.0));
  return either(f32x4.gt(x, k(216.0 / 24389.0)), mul(x, mul(y, y)), line);
}

/** √(C⁷ / (C⁷ + 25⁷)) of (4) and (17). */
// @ts-ignore: decorator
@inline function chromaFactor(C: v128): v128 {
  const C2 = mul(C, C);
  const C7 = mul(mul(C2, C2), mul(C2, C));
  return f32x4.sqrt(div(C7, add(C7, k(6103515625))));
}

/**
 * Fills `differences` for the first `count` pixels (rounded up to a multiple of four); −1 where
 * single precision does not do. Answers 1 when there is such a pixel.
 */
export function differ(count: i32): i32 {
  const xr = constant(0), xg = constant(1), xb = constant(2);
  const yr = constant(3), yg = constant(4), yb = constant(5);
  const zr = constant(6), zg = constant(7), zb = constant(8);
  const L1 = constant(9), a1 = constant(10), b1 = constant(11), C1 = constant(12);
  let anyUnsure = i32x4.splat(0);
  for (let i = 0; i < count; i += 4) {
    // Shading that is not above zero makes its pixel not a number, and so its difference.
    const s = v128.load(shading + (<usize>i << 2));
    const light = either(f32x4.gt(s, k(0)), div(k(1), s), k(f32.NaN));
    const pixel = rgba + (<usize>i << 2);
    const r = mul(linear(pixel), light);
    const g = mul(linear(pixel + 1), light);
    const b = mul(linear(pixel + 2), light);
    const fx = f(add(add(mul(xr, r), mul(xg, g)), mul(xb, b)));
    const fy = f(add(add(mul(yr, r), mul(yg, g)), mul(yb, b)));
    const fz = f(add(add(mul(zr, r), mul(zg, g)), mul(zb, b)));
    const L2 = sub(mul(k(116), fy), k(16));
    const rawA = mul(k(500), sub(fx, fy));
    const rawB = mul(k(200), sub(fy, fz));

    // (2)–(6). A chroma within rounding of grey is grey: the formula's slope there has no limit.
    const rawC = f32x4.sqrt(add(mul(rawA, rawA), mul(rawB, rawB)));
    const grey = f32x4.lt(rawC, k(0.0005));
    const a2 = v128.andnot(rawA, grey);
    const b2 = v128.andnot(rawB, grey);
    const C2 = v128.andnot(rawC, grey);
    const b2b2 = mul(b2, b2);
    const stretch = sub(k(1.5), mul(k(0.5), chromaFactor(mid(C1, C2))));
    const a1p = mul(stretch, a1);
    const a2p = mul(stretch, a2);
    const C1p = f32x4.sqrt(add(mul(a1p, a1p), mul(b1, b1)));
    const C2p = f32x4.sqrt(add(mul(a2p, a2p), b2b2));

    // Both hues as vectors of length C1′C2′: their distance gives ΔH′, their sum the mean hue.
    const e1x = mul(a1p, C2p), e1y = mul(b1, C2p);
    const e2x = mul(a2p, C1p), e2y = mul(b2, C1p);
    const dx = sub(e2x, e1x), dy = sub(e2y, e1y);
    const cross = sub(mul(a1p, b2), mul(b1, a2p));
    const turn = v128.and(cross, i32x4.splat(0x80000000)); // sign of the hue difference
    const dH2 = div(add(mul(dx, dx), mul(dy, dy)), add(mul(C1p, C2p), k(1e-30)));
    const dH = v128.or(turn, f32x4.sqrt(dH2)); // (11)
    // More than 90° apart the sum is short and its direction unsure: it is square to the distance.
    const apart = f32x4.lt(add(mul(a1p, a2p), mul(b1, b2)), k(0));
    const hx = either(apart, v128.xor(dy, turn), add(e1x, e2x));
    const hy = either(apart, v128.xor(f32x4.neg(dx), turn), add(e1y, e2y));

    // Direction of (hx, hy) as 0–4, one quadrant each, and the table there: (15), (16).
    const t = div(hy, add(add(f32x4.abs(hx), f32x4.abs(hy)), k(1e-30)));
    const right = either(f32x4.lt(hy, k(0)), add(k(4), t), t);
    const step = mul(k(<f32>QUADRANT), either(f32x4.lt(hx, k(0)), sub(k(2), t), right));
    // Adding 1.5 × 2²³ leaves the whole part in the low bits.
    const whole = add(sub(step, k(0.5)), k(12582912));
    const part = sub(step, sub(whole, k(12582912)));
    const at = i32x4.shl(v128.and(whole, i32x4.splat(4 * QUADRANT - 1)), 4);
    const row0 = v128.load(hueTable + <usize>i32x4.extract_lane(at, 0));
    const row1 = v128.load(hueTable + <usize>i32x4.extract_lane(at, 1));
    const row2 = v128.load(hueTable + <usize>i32x4.extract_lane(at, 2));
    const row3 = v128.load(hueTable + <usize>i32x4.extract_lane(at, 3));
    const T01 = v128.shuffle<f32>(row0, row1, 0, 4, 1, 5);
    const T23 = v128.shuffle<f32>(row2, row3, 0, 4, 1, 5);
    const R01 = v128.shuffle<f32>(row0, row1, 2, 6, 3, 7);
    const R23 = v128.shuffle<f32>(row2, row3, 2, 6, 3, 7);
    const T = add(
      v128.shuffle<f32>(T01, T23, 0, 1, 4, 5),
      mul(part, v128.shuffle<f32>(T01, T23, 2, 3, 6, 7)),
    );
    const R = add(
      v128.shuffle<f32>(R01, R23, 0, 1, 4, 5),
      mul(part, v128.shuffle<f32>(R01, R23, 2, 3, 6, 7)),
    );

    // (17)–(22), with one division for the three weights: SL = slope / root.
    const meanC = mid(C1p, C2p);
    const RT = mul(R, chromaFactor(meanC));
    const SC = add(k(1), mul(k(0.045), meanC));
    const SH = add(k(1), mul(mul(k(0.015), meanC), T));
    const offset = sub(mid(L1, L2), k(50));
    const offset2 = mul(offset, offset);
    const root = f32x4.sqrt(add(k(20), offset2));
    const slope = add(root, mul(k(0.015), offset2));
    const SCSH = mul(SC, SH);
    const inverse = div(k(1), mul(SCSH, slope));
    const dL = mul(mul(sub(L2, L1), root), mul(SCSH, inverse));
    const inverseCH = mul(inverse, slope);
    const dC = mul(sub(C2p, C1p), mul(SH, inverseCH));
    const dHw = mul(dH, mul(SC, inverseCH));
    const squared = add(add(mul(dL, dL), mul(dC, dC)), mul(dHw, add(dHw, mul(RT, dC))));

    // The formula jumps where hues are opposite, and single precision cannot say which side it is;
    // nor can it say the hue of what is almost grey.
    const near = f32x4.lt(f32x4.abs(cross), mul(C1p, k(0.001)));
    const faint = v128.andnot(f32x4.lt(C2, k(0.01)), grey);
    const unsure = v128.or(v128.and(apart, near), faint);
    anyUnsure = v128.or(anyUnsure, unsure);
    const difference = f32x4.sqrt(f32x4.max(squared, k(0)));
    v128.store(differences + (<usize>i << 2), either(unsure, k(-1), difference));
  }
  return i32(v128.any_true(anyUnsure));
}
