/**
 * Bodies on the bench and how a line of sight meets them. World axes in mm: x to the right, y away
 * from the person, z up from the bench top at z = 0.
 */
import type { Triple } from './spectra.ts';

export type Vector = Triple;

export const add = (a: Vector, b: Vector): Vector => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const minus = (a: Vector, b: Vector): Vector => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const times = (a: Vector, k: number): Vector => [a[0] * k, a[1] * k, a[2] * k];
export const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const length = (a: Vector): number => Math.sqrt(dot(a, a));
export const unit = (a: Vector): Vector => times(a, 1 / length(a));
export const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** Three unit vectors at right angles. */
export interface Frame {
  readonly x: Vector;
  readonly y: Vector;
  readonly z: Vector;
}

/** A frame with the given z; x as near to world x as it can be, turned by `turn` radians. */
export function frameOf(z: Vector, turn = 0): Frame {
  const w = unit(z);
  const u = unit(minus([1, 0, 0], times(w, w[0])));
  const v = cross(w, u);
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return { x: add(times(u, c), times(v, s)), y: add(times(v, c), times(u, -s)), z: w };
}

/** Where a line of sight met something: filled in by `Body.meet`, reused for speed. */
export class Meeting {
  /** Distance along the line; Infinity when nothing was met. */
  distance = Infinity;
  nx = 0;
  ny = 0;
  nz = 1;
  /** Which body, as its place in the scene's list. */
  body = -1;
  /** Distance in mm to the rim of a flat body, large elsewhere. */
  rim = 1e9;
}

/** Something a line can meet. `direction` must be a unit vector. */
export interface Body {
  /** Updates `found` and answers true when it is met nearer than `found.distance`. */
  meet(
    ox: number,
    oy: number,
    oz: number,
    dx: number,
    dy: number,
    dz: number,
    found: Meeting,
  ): boolean;
}

/** A flat rectangle with rounded corners (a disc when the rounding is half of both sides). */
export class FlatBody implements Body {
  constructor(
    readonly centre: Vector,
    readonly frame: Frame,
    readonly halfWidth: number,
    readonly halfHeight: number,
    readonly rounding: number,
  ) {}

  meet(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, found: Meeting) {
    const { centre: c, frame } = this;
    const n = frame.z;
    const facing = dx * n[0] + dy * n[1] + dz * n[2];
    if (Math.abs(facing) < 1e-9) return false;
    const px = ox - c[0];
    const py = oy - c[1];
    const pz = oz - c[2];
    const t = -(px * n[0] + py * n[1] + pz * n[2]) / facing;
    if (t <= 1e-6 || t >= found.distance) return false;
    const qx = px + t * dx;
    const qy = py + t * dy;
    const qz = pz + t * dz;
    const u = Math.abs(qx * frame.x[0] + qy * frame.x[1] + qz * frame.x[2]);
    const v = Math.abs(qx * frame.y[0] + qy * frame.y[1] + qz * frame.y[2]);
    const cu = u - this.halfWidth + this.rounding;
    const cv = v - this.halfHeight + this.rounding;
    // Signed distance to the rounded rectangle, negative inside.
    const outside =
      cu > 0 && cv > 0
        ? Math.sqrt(cu * cu + cv * cv) - this.rounding
        : Math.max(cu, cv) - this.rounding;
    if (outside > 0) return false;
    found.distance = t;
    found.nx = facing < 0 ? n[0] : -n[0];
    found.ny = facing < 0 ? n[1] : -n[1];
    found.nz = facing < 0 ? n[2] : -n[2];
    found.rim = -outside;
    return true;
  }

  /** Corners in order round the rim, at its surface (those of the rectangle when it is rounded). */
  corners(): readonly Vector[] {
    const { centre, frame, halfWidth: w, halfHeight: h } = this;
    return [
      [-w, -h],
      [w, -h],
      [w, h],
      [-w, h],
    ].map(([u, v]) => add(centre, add(times(frame.x, u!), times(frame.y, v!))));
  }
}

/**
 * An ellipsoid (radii in the three directions of its frame) or an elliptic cylinder along its
 * frame's y with flat ends, seen from outside.
 */
export class RoundBody implements Body {
  private readonly axes: readonly [Vector, Vector, Vector];

  constructor(
    readonly centre: Vector,
    readonly frame: Frame,
    readonly radii: Vector,
    readonly kind: 'ellipsoid' | 'cylinder',
  ) {
    this.axes = [
      times(frame.x, 1 / radii[0]),
      times(frame.y, 1 / radii[1]),
      times(frame.z, 1 / radii[2]),
    ];
  }

  meet(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number, found: Meeting) {
    const [a, b, c] = this.axes;
    const px = ox - this.centre[0];
    const py = oy - this.centre[1];
    const pz = oz - this.centre[2];
    // The line in the body's own units, where it is a unit sphere or cylinder.
    const o1 = px * a[0] + py * a[1] + pz * a[2];
    const o2 = px * b[0] + py * b[1] + pz * b[2];
    const o3 = px * c[0] + py * c[1] + pz * c[2];
    const d1 = dx * a[0] + dy * a[1] + dz * a[2];
    const d2 = dx * b[0] + dy * b[1] + dz * b[2];
    const d3 = dx * c[0] + dy * c[1] + dz * c[2];
    const round = this.kind === 'ellipsoid' ? 1 : 0;
    const A = d1 * d1 + d3 * d3 + round * d2 * d2;
    const B = o1 * d1 + o3 * d3 + round * o2 * d2;
    const C = o1 * o1 + o3 * o3 + round * o2 * o2 - 1;
    const D = B * B - A * C;
    if (D <= 0) return false;
    const t = (-B - Math.sqrt(D)) / A;
    if (t > 1e-6 && t < found.distance) {
      const q2 = o2 + t * d2;
      if (round === 1 || Math.abs(q2) <= 1) {
        const q1 = o1 + t * d1;
        const q3 = o3 + t * d3;
        this.setNormal(q1, round * q2, q3, found);
        found.distance = t;
        found.rim = 1e9;
        return true;
      }
    }
    if (round === 0 && Math.abs(d2) > 1e-12) {
      // The end that faces the eye.
      const end = d2 > 0 ? -1 : 1;
      const te = (end - o2) / d2;
      const q1 = o1 + te * d1;
      const q3 = o3 + te * d3;
      if (te > 1e-6 && te < found.distance && q1 * q1 + q3 * q3 <= 1) {
        this.setNormal(0, end, 0, found);
        found.distance = te;
        found.rim = 1e9;
        return true;
      }
    }
    return false;
  }

  /** Whether a point lies inside. */
  encloses(point: Vector): boolean {
    const p = minus(point, this.centre);
    const [q1, q2, q3] = this.axes.map((axis) => dot(p, axis)) as [number, number, number];
    return this.kind === 'ellipsoid'
      ? q1 * q1 + q2 * q2 + q3 * q3 < 1
      : q1 * q1 + q3 * q3 < 1 && Math.abs(q2) < 1;
  }

  /** Normal of the world from the point in own units: the transposed inverse of the scaling. */
  private setNormal(q1: number, q2: number, q3: number, found: Meeting): void {
    const [a, b, c] = this.axes;
    const x = q1 * a[0] + q2 * b[0] + q3 * c[0];
    const y = q1 * a[1] + q2 * b[1] + q3 * c[1];
    const z = q1 * a[2] + q2 * b[2] + q3 * c[2];
    const k = 1 / Math.sqrt(x * x + y * y + z * z);
    found.nx = x * k;
    found.ny = y * k;
    found.nz = z * k;
  }
}

/** A pinhole camera. */
export class View {
  readonly right: Vector;
  readonly down: Vector;
  readonly forward: Vector;

  /** `focal` in pixels; `roll` turns the picture, radians. */
  constructor(
    readonly eye: Vector,
    target: Vector,
    readonly focal: number,
    readonly width: number,
    readonly height: number,
    roll = 0,
  ) {
    this.forward = unit(minus(target, eye));
    // World y points up in the picture, also when looking straight down.
    const r = unit(cross(this.forward, [0, 1, 1e-4]));
    const d = cross(this.forward, r);
    const [c, s] = [Math.cos(roll), Math.sin(roll)];
    this.right = add(times(r, c), times(d, s));
    this.down = add(times(d, c), times(r, -s));
  }

  /** Unit direction of the line of sight through a point of the picture, pixels. */
  direction(x: number, y: number): Vector {
    const u = (x - this.width / 2) / this.focal;
    const v = (y - this.height / 2) / this.focal;
    return unit(add(this.forward, add(times(this.right, u), times(this.down, v))));
  }

  /** Where a point of the world comes to lie, pixels, and its depth along the axis, mm. */
  project(point: Vector): { readonly x: number; readonly y: number; readonly depth: number } {
    const p = minus(point, this.eye);
    const depth = dot(p, this.forward);
    return {
      x: this.width / 2 + (this.focal * dot(p, this.right)) / depth,
      y: this.height / 2 + (this.focal * dot(p, this.down)) / depth,
      depth,
    };
  }
}
