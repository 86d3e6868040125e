/** What one line of sight sees: body, paint, light, mirror image. Sensor RGB, lamp white = 1, 1, 1. */
import { sensorRgb } from './isp.ts';
import { Meeting, RoundBody, type Vector } from './geometry.ts';
import { Light } from './lighting.ts';
import { acrossStripe, type Band, type BenchScene, type Dab, type Surface } from './scene.ts';
import type { Spectrum } from './spectra.ts';

/** A surface ready for many pixels: sensor RGB of its steps. */
interface Ready {
  readonly surface: Surface;
  readonly steps: number;
  readonly direct: Float64Array;
  readonly room: Float64Array;
  readonly marks: readonly [number, number, number] | undefined;
  readonly index: number;
}

const SHADOW_GRID = 128;

export class Shader {
  readonly light: Light;
  r = 0;
  g = 0;
  b = 0;
  /** Body met, for finding silhouettes. */
  id = -1;
  /** Cover of the dab, 0–1, and of a band. */
  cover = 0;
  bandCover = 0;
  /** Mirror-like radiance and diffuse radiance of the middle channel. */
  mirror = 0;
  diffuse = 0;
  /** Thickness step of the dab, −1…1. */
  thickness = 0;
  /** Coloured reflection, same scale as `mirror`. */
  tint = 0;
  shadow = 1;

  private readonly ready: readonly Ready[];
  private dab: Dab | undefined;
  private dabReady: Ready;
  private readonly prepare: (surface: Surface, index: number) => Ready;
  private readonly bandsReady: readonly Ready[];
  private readonly meeting = new Meeting();
  private readonly roomWhite: readonly [number, number, number];
  private readonly reflectedRgb: readonly [number, number, number] | undefined;
  private readonly shadows: { low: Float32Array; tile: Float32Array };
  private readonly reach: readonly [number, number, number, number];

  constructor(readonly scene: BenchScene) {
    const { camera, lamp, ambient } = scene;
    const { point, normal } = reference(scene);
    this.light = new Light(scene.lampBody, point, normal);
    const rgbOf = (s: Spectrum) => sensorRgb(camera, lamp.power, s);
    const roomOf = (s: Spectrum) =>
      sensorRgb(
        camera,
        lamp.power,
        s.map((v, i) => v * ambient.reflectance[i]!),
      );
    const prepare = (this.prepare = (surface: Surface, index: number): Ready => ({
      surface,
      steps: surface.steps.length,
      direct: Float64Array.from(surface.steps.flatMap((s) => [...rgbOf(s)])),
      room: Float64Array.from(surface.steps.flatMap((s) => [...roomOf(s)])),
      marks: surface.marks ? rgbOf(surface.marks.reflectance) : undefined,
      index,
    }));
    this.ready = scene.things.map((thing, i) => prepare(thing.surface, i));
    this.dab = scene.dab;
    this.dabReady = prepare(scene.dab.surface, -1);
    this.bandsReady = scene.bands.map((band) => prepare(band.surface, -2));
    this.roomWhite = rgbOf(ambient.reflectance);
    this.reflectedRgb = scene.reflected && rgbOf(scene.reflected.reflectance);
    this.reach = this.benchReach();
    this.shadows = { low: this.shadowMap(0.05, true), tile: this.shadowMap(7, false) };
  }

  /** Wipes the dab off and lays another, or none. */
  lay(dab: Dab | undefined): void {
    this.dab = dab;
    if (dab) this.dabReady = this.prepare(dab.surface, -1);
  }

  /** The bench seen in the picture: x and y from, to, mm. */
  private benchReach(): readonly [number, number, number, number] {
    const { view } = this.scene;
    const xs: number[] = [];
    const ys: number[] = [];
    for (const [u, v] of [
      [0, 0],
      [1, 0],
      [0, 1],
      [1, 1],
    ]) {
      const d = view.direction(u! * view.width, v! * view.height);
      const t = d[2] < -0.05 ? -view.eye[2] / d[2] : 3000;
      xs.push(view.eye[0] + t * d[0]);
      ys.push(view.eye[1] + t * d[1]);
    }
    return [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  }

  private shadowMap(z: number, underTile: boolean): Float32Array {
    const { things, piece, tile } = this.scene;
    const blockers = things.filter(
      (_, i) => i === piece || (underTile && (i === tile || (i > 0 && things[i]!.name === 'card'))),
    );
    const meeting = new Meeting();
    const blocked = (from: Vector, d: Vector, reach: number) =>
      blockers.some((thing) => {
        meeting.distance = reach;
        return thing.body.meet(from[0], from[1], from[2], d[0], d[1], d[2], meeting);
      });
    const [x0, x1, y0, y1] = this.reach;
    const map = new Float32Array(SHADOW_GRID * SHADOW_GRID);
    for (let j = 0; j < SHADOW_GRID; j++) {
      for (let i = 0; i < SHADOW_GRID; i++) {
        const x = x0 + ((x1 - x0) * i) / (SHADOW_GRID - 1);
        const y = y0 + ((y1 - y0) * j) / (SHADOW_GRID - 1);
        const under = things[piece]!.body;
        const inside = under instanceof RoundBody && under.encloses([x, y, z]);
        map[j * SHADOW_GRID + i] = inside ? 0 : this.light.seenFrom([x, y, z], blocked);
      }
    }
    return softened(map);
  }

  /** How much of the lamp a point of the bench sees, 0–1. */
  shadowAt(map: Float32Array, x: number, y: number): number {
    const [x0, x1, y0, y1] = this.reach;
    const n = SHADOW_GRID;
    const u = Math.min(n - 1.001, Math.max(0, ((x - x0) / (x1 - x0)) * (n - 1)));
    const v = Math.min(n - 1.001, Math.max(0, ((y - y0) / (y1 - y0)) * (n - 1)));
    const i = Math.floor(u);
    const j = Math.floor(v);
    const fu = u - i;
    const fv = v - j;
    const at = j * n + i;
    return (
      (map[at]! * (1 - fu) + map[at + 1]! * fu) * (1 - fv) +
      (map[at + n]! * (1 - fu) + map[at + n + 1]! * fu) * fv
    );
  }

  /** Looks through a point of the picture, pixels; the answer is in the fields of this object. */
  look(px: number, py: number): void {
    const { scene, meeting } = this;
    const { view } = scene;
    const dab = this.dab ?? scene.dab;
    const u = (px - view.width / 2) / view.focal;
    const v = (py - view.height / 2) / view.focal;
    let dx = view.forward[0] + view.right[0] * u + view.down[0] * v;
    let dy = view.forward[1] + view.right[1] * u + view.down[1] * v;
    let dz = view.forward[2] + view.right[2] * u + view.down[2] * v;
    const k = 1 / Math.sqrt(dx * dx + dy * dy + dz * dz);
    dx *= k;
    dy *= k;
    dz *= k;
    const [ox, oy, oz] = view.eye;
    meeting.distance = Infinity;
    meeting.body = -1;
    const { things } = scene;
    for (let i = 0; i < things.length; i++) {
      if (things[i]!.body.meet(ox, oy, oz, dx, dy, dz, meeting)) meeting.body = i;
    }
    const id = meeting.body;
    this.id = id;
    this.cover = 0;
    this.bandCover = 0;
    this.mirror = 0;
    this.tint = 0;
    this.shadow = 1;
    if (id < 0) {
      this.r = this.g = this.b = this.diffuse = 0.02;
      return;
    }
    const t = meeting.distance;
    const x = ox + t * dx;
    const y = oy + t * dy;
    const z = oz + t * dz;
    let { nx, ny, nz } = meeting;
    const onPiece = id === scene.piece;
    const base = this.ready[id]!;
    let roughness = base.surface.roughness;

    // Position on the dab, in the plane that touches its body.
    let cover = 0;
    let du = 0;
    let dv = 0;
    if (onPiece || id === dab.on) {
      const cx = x - dab.centre[0];
      const cy = y - dab.centre[1];
      const cz = z - dab.centre[2];
      const f = dab.frame;
      du = cx * f.x[0] + cy * f.x[1] + cz * f.x[2];
      dv = cx * f.y[0] + cy * f.y[1] + cz * f.y[2];
      if (id === dab.on && this.dab) cover = this.dabCover(this.dab, du, dv);
    }
    const waves = cover > 0.5 ? dab.surface.waves : base.surface.waves;
    if (waves) {
      // The field read at two places gives two slopes.
      const wu = (x + 0.7 * z) / waves.repeat[0];
      const wv = (y - 0.5 * z) / waves.repeat[1];
      nx += waves.depth * waves.field.at(wu, wv);
      ny += waves.depth * waves.field.at(wu + 0.37, wv + 0.61);
      const l = 1 / Math.sqrt(nx * nx + ny * ny + nz * nz);
      nx *= l;
      ny *= l;
      nz *= l;
    }
    if (meeting.rim < 1.6 && base.surface.roughness < 0.5) {
      // The glaze of a tile or plaque runs over its arris.
      const f = 0.5 * (1 - meeting.rim / 1.6) ** 2;
      const middle = things[id]!.body.centre;
      const ex = x - middle[0];
      const ey = y - middle[1];
      const l = 1 / Math.max(1e-6, Math.sqrt(ex * ex + ey * ey));
      nx += f * ex * l;
      ny += f * ey * l;
      const m = 1 / Math.sqrt(nx * nx + ny * ny + nz * nz);
      nx *= m;
      ny *= m;
      nz *= m;
    }
    if (cover > 0) {
      const rho = Math.sqrt(du * du + dv * dv);
      const rise = rho > 1e-9 ? (dab.dome * cover * Math.min(1, (rho / dab.radius) ** 3)) / rho : 0;
      const f = dab.frame;
      nx += rise * (du * f.x[0] + dv * f.y[0]);
      ny += rise * (du * f.x[1] + dv * f.y[1]);
      nz += rise * (du * f.x[2] + dv * f.y[2]);
      const l = 1 / Math.sqrt(nx * nx + ny * ny + nz * nz);
      nx *= l;
      ny *= l;
      nz *= l;
    }

    let direct = this.light.irradiance(x, y, z, nx, ny, nz);
    if (id === 0) this.shadow = this.shadowAt(this.shadows.low, x, y);
    else if (!onPiece && !things[id]!.clear) this.shadow = this.shadowAt(this.shadows.tile, x, y);
    direct *= this.shadow;
    const room = scene.ambient.share * (0.55 + 0.45 * nz);

    // Body colour: the surface, a band over it, the dab over both.
    const su = x + 0.7 * z;
    const sv = y - 0.5 * z;
    this.r = this.g = this.b = 0;
    if (cover < 1) {
      let under = 1 - cover;
      if (onPiece) {
        for (let i = 0; i < scene.bands.length; i++) {
          const c = bandCover(scene.bands[i]!, du, dv, x, y, z);
          if (c > 0) {
            this.addBody(this.bandsReady[i]!, under * c, direct, room, su, sv);
            this.bandCover = Math.max(this.bandCover, c);
            under *= 1 - c;
          }
        }
      }
      this.addBody(base, under, direct, room, su, sv);
    }
    if (cover > 0) {
      this.thickness = this.addBody(this.dabReady, cover, direct, room, du, dv);
      this.cover = cover;
    }
    this.diffuse = this.g;

    // Mirror images: of the lamp, of the room, of something coloured.
    if (cover > 0) roughness = roughness * (1 - cover) + dab.surface.roughness * cover;
    if (roughness < 0.5) {
      const m = this.shadow * this.light.mirrored(x, y, z, dx, dy, dz, nx, ny, nz, roughness);
      const dn = dx * nx + dy * ny + dz * nz;
      const fresnel = 0.04 + 0.96 * (1 - Math.min(1, Math.abs(dn))) ** 5;
      const wall = fresnel * scene.ambient.share * 0.12;
      this.mirror = m;
      this.r += m + wall * this.roomWhite[0];
      this.g += m + wall * this.roomWhite[1];
      this.b += m + wall * this.roomWhite[2];
      const { reflected } = scene;
      if (reflected && this.reflectedRgb && id !== 0) {
        const q = reflected.towards;
        const towards =
          q[0] * (dx - 2 * dn * nx) + q[1] * (dy - 2 * dn * ny) + q[2] * (dz - 2 * dn * nz);
        const soft = reflected.softness + roughness;
        const share = Math.min(1, Math.max(0, (towards - reflected.cosine) / soft + 0.5));
        const add = share * share * (3 - 2 * share) * fresnel * reflected.radiance;
        this.tint = add;
        this.r += add * this.reflectedRgb[0];
        this.g += add * this.reflectedRgb[1];
        this.b += add * this.reflectedRgb[2];
      }
    }
  }

  /** Adds a share of a surface's diffuse light and answers with its thickness step. */
  private addBody(
    ready: Ready,
    share: number,
    direct: number,
    room: number,
    su: number,
    sv: number,
  ): number {
    const { surface, steps } = ready;
    let step = 0;
    if (surface.mottle && steps > 1) {
      const { field, repeat, depth } = surface.mottle;
      step = Math.min(1, Math.max(-1, depth * field.at(su / repeat[0], sv / repeat[1])));
    }
    const at = ((step + 1) / 2) * (steps - 1);
    const i = Math.min(steps - 1, Math.floor(at));
    const j = Math.min(steps - 1, i + 1);
    const f = at - i;
    const { direct: d, room: a } = ready;
    let r = direct * (d[3 * i]! * (1 - f) + d[3 * j]! * f);
    let g = direct * (d[3 * i + 1]! * (1 - f) + d[3 * j + 1]! * f);
    let b = direct * (d[3 * i + 2]! * (1 - f) + d[3 * j + 2]! * f);
    if (surface.marks && ready.marks) {
      const { field, repeat, depth } = surface.marks;
      const c = Math.min(1, depth * field.at(su / repeat[0], sv / repeat[1]));
      r += c * (direct * ready.marks[0] - r);
      g += c * (direct * ready.marks[1] - g);
      b += c * (direct * ready.marks[2] - b);
    }
    this.r += share * (r + room * (a[3 * i]! * (1 - f) + a[3 * j]! * f));
    this.g += share * (g + room * (a[3 * i + 1]! * (1 - f) + a[3 * j + 1]! * f));
    this.b += share * (b + room * (a[3 * i + 2]! * (1 - f) + a[3 * j + 2]! * f));
    return step;
  }

  private dabCover(dab: Dab, u: number, v: number): number {
    const stretched = Math.sqrt(dab.aspect);
    const x = u / stretched;
    const y = v * stretched;
    const rho = Math.sqrt(x * x + y * y);
    if (rho > 1.7 * dab.radius + dab.softness) return 0;
    const phi = Math.atan2(y, x);
    let r = 1;
    for (const [height, count, phase] of dab.outline) r += height * Math.cos(count * phi + phase);
    const inside = (r * dab.radius - rho) / dab.softness + 0.5;
    if (inside <= 0) return 0;
    if (inside >= 1) return 1;
    return inside * inside * (3 - 2 * inside);
  }
}

/** Cover of a band at a point, given in the dab's plane and in the world. */
function bandCover(band: Band, u: number, v: number, x: number, y: number, z: number): number {
  let across: number;
  if (band.kind === 'ring') {
    const { centre, axis } = band;
    across =
      (x - centre[0]) * axis[0] +
      (y - centre[1]) * axis[1] +
      (z - centre[2]) * axis[2] -
      band.height;
  } else across = acrossStripe(band, u, v);
  // A brushed edge: 0.25 mm wide.
  return Math.min(1, Math.max(0, (band.halfWidth - Math.abs(across)) / 0.25 + 0.5));
}

/** Takes the stairs off the edges of a shadow map: binomial 3 × 3. */
function softened(map: Float32Array): Float32Array {
  const n = SHADOW_GRID;
  const out = map.slice();
  for (let j = 1; j < n - 1; j++) {
    for (let i = 1; i < n - 1; i++) {
      const k = j * n + i;
      out[k] =
        0.25 * map[k]! +
        0.125 * (map[k - 1]! + map[k + 1]! + map[k - n]! + map[k + n]!) +
        0.0625 * (map[k - n - 1]! + map[k - n + 1]! + map[k + n - 1]! + map[k + n + 1]!);
    }
  }
  return out;
}

/** Where irradiance is 1: the middle of the tile, or of the dab when there is no tile. */
function reference(scene: BenchScene): { readonly point: Vector; readonly normal: Vector } {
  const body = scene.tile === undefined ? undefined : scene.things[scene.tile]!.body;
  return body
    ? { point: body.centre, normal: body.frame.z }
    : { point: scene.dab.centre, normal: scene.dab.frame.z };
}
