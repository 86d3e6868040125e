/** Seeded random numbers (mulberry32), so that a seed names a picture. */
export class Random {
  private state: number;

  constructor(seed: number) {
    // Neighbouring seeds must not give neighbouring pictures: stir before the first draw.
    this.state = Math.imul(seed ^ 0x9e3779b9, 0x85ebca6b) >>> 0;
    for (let i = 0; i < 4; i++) this.uniform();
  }

  /** 32 random bits, as an unsigned integer. */
  bits(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let t = this.state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return (t ^ (t >>> 14)) >>> 0;
  }

  /** Uniform in [0, 1). */
  uniform(): number {
    return this.bits() / 4294967296;
  }

  /** Uniform in [low, high). */
  range(low: number, high: number): number {
    return low + (high - low) * this.uniform();
  }

  /** Log-uniform in [low, high), both > 0. */
  logRange(low: number, high: number): number {
    return low * (high / low) ** this.uniform();
  }

  /** Whole number in 0 … count − 1. */
  index(count: number): number {
    return Math.floor(this.uniform() * count);
  }

  chance(probability: number): boolean {
    return this.uniform() < probability;
  }

  pick<T>(items: readonly T[]): T {
    const item = items[this.index(items.length)];
    if (item === undefined) throw new RangeError('cannot pick from an empty list');
    return item;
  }

  /** One of the items, each with a weight ≥ 0. */
  weighted<T>(items: readonly (readonly [T, number])[]): T {
    let rest = this.uniform() * items.reduce((sum, [, weight]) => sum + weight, 0);
    for (const [item, weight] of items) {
      rest -= weight;
      if (rest < 0) return item;
    }
    return items[items.length - 1]![0];
  }

  /** Standard normal (Box–Muller). */
  gaussian(): number {
    const radius = Math.sqrt(-2 * Math.log(1 - this.uniform()));
    return radius * Math.cos(2 * Math.PI * this.uniform());
  }

  /** A generator of its own, so that one part of a scene can change without moving the rest. */
  fork(): Random {
    return new Random(this.bits());
  }
}
