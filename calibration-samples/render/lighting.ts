/**
 * One lamp near the piece: Lambert's cosine and the inverse square over a few points of its face,
 * and its mirror image in the glaze (Fresnel by Schlick 1994; a Gaussian lobe with a wide skirt, as
 * measured glossy lobes have).
 */
import {
  add,
  dot,
  frameOf,
  length,
  minus,
  times,
  unit,
  type Frame,
  type Vector,
} from './geometry.ts';

export interface LampBody {
  readonly kind: 'softbox' | 'bulb';
  readonly position: Vector;
  /** What its face looks at. */
  readonly aim: Vector;
  /** Half sides of a softbox, mm; a bulb's radius is the first. */
  readonly half: readonly [number, number];
  /** Turn of the softbox about its axis, radians. */
  readonly turn: number;
}

export class Light {
  private readonly frame: Frame;
  private readonly points: readonly Vector[];
  private readonly area: number;
  /** Scales irradiance to 1 at the reference point. */
  private scale = 1;

  constructor(
    readonly lamp: LampBody,
    /** Where the irradiance is 1, with its normal. */
    reference: Vector,
    referenceNormal: Vector,
  ) {
    this.frame = frameOf(minus(lamp.aim, lamp.position), lamp.turn);
    const [w, h] = lamp.half;
    this.points =
      lamp.kind === 'bulb'
        ? [lamp.position]
        : [
            [-0.55, -0.55],
            [0.55, -0.55],
            [0.55, 0.55],
            [-0.55, 0.55],
          ].map(([u, v]) =>
            add(lamp.position, add(times(this.frame.x, u! * w), times(this.frame.y, v! * h))),
          );
    this.area = lamp.kind === 'bulb' ? Math.PI * w * w : 4 * w * h;
    this.scale = 1 / Math.max(1e-12, this.irradiance(...reference, ...referenceNormal));
  }

  /** Irradiance of a surface element, 1 at the reference. */
  irradiance(x: number, y: number, z: number, nx: number, ny: number, nz: number): number {
    const f = this.frame.z;
    const bulb = this.lamp.kind === 'bulb';
    let sum = 0;
    for (let i = 0; i < this.points.length; i++) {
      const p = this.points[i]!;
      const lx = p[0] - x;
      const ly = p[1] - y;
      const lz = p[2] - z;
      const d2 = lx * lx + ly * ly + lz * lz;
      const d = Math.sqrt(d2);
      const cosine = (lx * nx + ly * ny + lz * nz) / d;
      if (cosine <= 0) continue;
      const face = bulb ? 1 : Math.max(0, -(lx * f[0] + ly * f[1] + lz * f[2]) / d);
      sum += (cosine * face) / d2;
    }
    return (this.scale * sum) / this.points.length;
  }

  /**
   * Mirror-like radiance on the scale on which a perfect diffuser at irradiance 1 has 1: sight
   * direction d (unit, towards the surface), normal n, slope deviation `roughness`.
   */
  mirrored(
    x: number,
    y: number,
    z: number,
    dx: number,
    dy: number,
    dz: number,
    nx: number,
    ny: number,
    nz: number,
    roughness: number,
  ): number {
    if (roughness >= 0.5) return 0;
    const dn = dx * nx + dy * ny + dz * nz;
    const rx = dx - 2 * dn * nx;
    const ry = dy - 2 * dn * ny;
    const rz = dz - 2 * dn * nz;
    const p = this.lamp.position;
    const lx = p[0] - x;
    const ly = p[1] - y;
    const lz = p[2] - z;
    const along = lx * rx + ly * ry + lz * rz;
    if (along <= 0) return 0;
    const d2 = lx * lx + ly * ly + lz * lz;
    const spread = 1.4 * roughness * Math.sqrt(d2);
    let seen: number;
    if (this.lamp.kind === 'bulb') {
      const off = Math.sqrt(Math.max(0, d2 - along * along));
      seen =
        0.96 * discSeen(off, this.lamp.half[0], spread) +
        0.04 * discSeen(off, this.lamp.half[0], 3 * spread);
    } else {
      const f = this.frame;
      const towards = rx * f.z[0] + ry * f.z[1] + rz * f.z[2];
      if (towards >= -1e-6) return 0;
      // Where the mirrored line meets the plane of the lamp's face.
      const t = (lx * f.z[0] + ly * f.z[1] + lz * f.z[2]) / towards;
      const ux = t * rx - lx;
      const uy = t * ry - ly;
      const uz = t * rz - lz;
      const u = ux * f.x[0] + uy * f.x[1] + uz * f.x[2];
      const v = ux * f.y[0] + uy * f.y[1] + uz * f.y[2];
      const [w, h] = this.lamp.half;
      if (Math.abs(u) > w + 9 * spread || Math.abs(v) > h + 9 * spread) return 0;
      seen =
        0.96 * slitSeen(u, w, spread) * slitSeen(v, h, spread) +
        0.04 * slitSeen(u, w, 3 * spread) * slitSeen(v, h, 3 * spread);
    }
    if (seen < 1e-5) return 0;
    const fresnel = 0.04 + 0.96 * (1 - Math.min(1, Math.abs(dn))) ** 5;
    // Radiance of the lamp's face against a perfect diffuser at irradiance 1.
    return ((fresnel * this.scale * Math.PI) / this.area) * seen;
  }

  /** Where the lamp must stand so that the point mirrors its centre, at this distance. */
  static placeForMirror(point: Vector, normal: Vector, eye: Vector, distance: number): Vector {
    const d = unit(minus(point, eye));
    const r = minus(d, times(normal, 2 * dot(d, normal)));
    return add(point, times(r, distance));
  }

  /** Share of the lamp's points that a point of the bench sees past an obstacle. */
  seenFrom(point: Vector, blocked: (from: Vector, direction: Vector, reach: number) => boolean) {
    const [w, h] = this.lamp.half;
    const { x, y } = this.frame;
    let free = 0;
    let all = 0;
    for (let i = -1.5; i <= 1.5; i++) {
      for (let j = -1.5; j <= 1.5; j++) {
        const height = this.lamp.kind === 'bulb' ? w : h;
        const offset = add(times(x, (i / 2) * w), times(y, (j / 2) * height));
        const to = minus(add(this.lamp.position, offset), point);
        const reach = length(to);
        if (!blocked(point, times(to, 1 / reach), reach)) free++;
        all++;
      }
    }
    return free / all;
  }
}

/** Abramowitz & Stegun 7.1.26, error 1.5e-7. */
function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * Math.abs(x));
  const y =
    1 -
    ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) *
      t *
      Math.exp(-x * x);
  return x < 0 ? -y : y;
}

/** Share of a Gaussian lobe round `off` that falls on a slit of half width `half`. */
function slitSeen(off: number, half: number, spread: number): number {
  const k = 1 / (Math.SQRT2 * Math.max(spread, 0.5));
  return 0.5 * (erf((half - off) * k) + erf((half + off) * k));
}

/** The same for a disc, near enough: exact at the centre and in its total. */
function discSeen(off: number, radius: number, spread: number): number {
  const s = Math.max(spread, 0.5);
  if (radius > 1.5 * s) {
    return 0.5 * (1 - erf((off - radius) / (Math.SQRT2 * s)));
  }
  const peak = 1 - Math.exp(-(radius * radius) / (2 * s * s));
  return peak * Math.exp((-off * off * peak) / (radius * radius));
}
