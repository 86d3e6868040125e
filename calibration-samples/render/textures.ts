/** Repeating grey fields for glaze, wood and paper: −1…1 or 0…1, built once, sampled smoothly. */
import type { Random } from './random.ts';

const SIZE = 256;
const MASK = SIZE - 1;

export class Field {
  private made: Float32Array | undefined;

  /** `make` gives SIZE × SIZE values; it is called when the field is first looked at. */
  constructor(private readonly make: () => Float32Array) {}

  /** Value at u, v (in repeats of the field). */
  at(u: number, v: number): number {
    const x = u * SIZE;
    const y = v * SIZE;
    const i = Math.floor(x);
    const j = Math.floor(y);
    const fx = x - i;
    const fy = y - j;
    const i0 = i & MASK;
    const i1 = (i + 1) & MASK;
    const j0 = (j & MASK) * SIZE;
    const j1 = ((j + 1) & MASK) * SIZE;
    const a = (this.made ??= this.make());
    const top = a[j0 + i0]! * (1 - fx) + a[j0 + i1]! * fx;
    const low = a[j1 + i0]! * (1 - fx) + a[j1 + i1]! * fx;
    return top * (1 - fy) + low * fy;
  }
}

/** Cloudiness: smooth noise, `grains` lumps across, with finer lumps at half height; deviation 1/3. */
export function clouds(grains: number, random: Random, octaves = 3): Field {
  const own = random.fork();
  return new Field(() => cloudValues(grains, own, octaves));
}

function cloudValues(grains: number, random: Random, octaves: number): Float32Array {
  const values = new Float32Array(SIZE * SIZE);
  let height = 1;
  for (let o = 0, n = grains; o < octaves && n <= SIZE / 2; o++, n *= 2, height *= 0.5) {
    const lattice = Float32Array.from({ length: n * n }, () => random.gaussian());
    for (let y = 0; y < SIZE; y++) {
      const v = (y * n) / SIZE;
      const j = Math.floor(v);
      const fv = smooth(v - j);
      const upper = j * n;
      const lower = ((j + 1) % n) * n;
      for (let x = 0; x < SIZE; x++) {
        const u = (x * n) / SIZE;
        const i = Math.floor(u);
        const k = (i + 1) % n;
        const fu = smooth(u - i);
        const top = lattice[upper + i]! + fu * (lattice[upper + k]! - lattice[upper + i]!);
        const low = lattice[lower + i]! + fu * (lattice[lower + k]! - lattice[lower + i]!);
        values[y * SIZE + x]! += height * (top + fv * (low - top));
      }
    }
  }
  return normalised(values);
}

/** Dark specks: 0 between them, up to 1 in them; `count` in the field, radius in texels. */
export function specks(count: number, radius: number, random: Random): Field {
  const own = random.fork();
  return new Field(() => speckValues(count, radius, own));
}

function speckValues(count: number, radius: number, random: Random): Float32Array {
  const values = new Float32Array(SIZE * SIZE);
  for (let k = 0; k < count; k++) {
    const x = random.range(0, SIZE);
    const y = random.range(0, SIZE);
    const r = radius * random.logRange(0.5, 2);
    const reach = Math.ceil(r + 1.5);
    for (let dy = -reach; dy <= reach; dy++) {
      for (let dx = -reach; dx <= reach; dx++) {
        const px = Math.floor(x) + dx;
        const py = Math.floor(y) + dy;
        const distance = Math.hypot(px + 0.5 - x, py + 0.5 - y);
        const value = Math.min(1, Math.max(0, r - distance + 0.5));
        const at = (py & MASK) * SIZE + (px & MASK);
        values[at] = Math.max(values[at]!, value);
      }
    }
  }
  return values;
}

/** Crackle: 1 on a net of thin lines, 0 between; `cells` meshes in the field. */
export function crackle(cells: number, random: Random): Field {
  const own = random.fork();
  return new Field(() => crackleValues(cells, own));
}

function crackleValues(cells: number, random: Random): Float32Array {
  const points = Array.from({ length: cells }, () => [
    random.range(0, SIZE),
    random.range(0, SIZE),
  ]);
  const values = new Float32Array(SIZE * SIZE);
  for (let y = 0; y < SIZE; y++) {
    for (let x = 0; x < SIZE; x++) {
      let first = Infinity;
      let second = Infinity;
      for (const [px, py] of points) {
        const dx = wrapped(px! - x);
        const dy = wrapped(py! - y);
        const d = dx * dx + dy * dy;
        if (d < first) {
          second = first;
          first = d;
        } else if (d < second) second = d;
      }
      const gap = Math.sqrt(second) - Math.sqrt(first);
      values[y * SIZE + x] = Math.max(0, 1 - gap / 2.2);
    }
  }
  return values;
}

/** Distance on the repeating field. */
const wrapped = (d: number) => Math.abs(d) - (Math.abs(d) > SIZE / 2 ? SIZE : 0);
const smooth = (t: number) => t * t * (3 - 2 * t);

/** Zero mean, deviation one third, so that ±1 is rarely passed. */
function normalised(values: Float32Array): Float32Array {
  let sum = 0;
  let squares = 0;
  for (const v of values) {
    sum += v;
    squares += v * v;
  }
  const mean = sum / values.length;
  const deviation = Math.sqrt(squares / values.length - mean * mean) || 1;
  return values.map((v) => (v - mean) / (3 * deviation));
}
