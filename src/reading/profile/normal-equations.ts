/** Weighted least squares of sparse rows by the normal equations (Cholesky), for systems solved many times. */

export type Entries = readonly (readonly [at: number, factor: number])[];

export class NormalEquations {
  readonly #normal: Float64Array;
  readonly #right: Float64Array;
  #squares = 0;

  constructor(readonly size: number) {
    this.#normal = new Float64Array(size * size);
    this.#right = new Float64Array(size);
  }

  /** One row: the entries' sum of factor times unknown should be `value`. @param weight one over its standard deviation */
  put(entries: Entries, value: number, weight: number): void {
    for (const [p, f] of entries) {
      this.#right[p]! += weight * f * (weight * value);
      for (const [q, g] of entries) this.#normal[p * this.size + q]! += weight * f * (weight * g);
    }
    this.#squares += (weight * value) ** 2;
  }

  /**
   * @returns the unknowns, the weighted squares that are left, and ln of the determinant of the normal matrix
   * @throws RangeError where the rows leave an unknown open
   */
  solve(): { readonly x: number[]; readonly misfit: number; readonly logDeterminant: number } {
    const n = this.size;
    const root = Float64Array.from(this.#normal);
    const x = Array.from(this.#right);
    let logDeterminant = 0;
    // Left of a row's first entry the root stays empty (George, Liu 1981, the envelope method).
    const first = Array.from({ length: n }, (_, i) =>
      root.subarray(i * n, i * n + i + 1).findIndex((v) => v !== 0),
    );
    for (let i = 0; i < n; i++) {
      for (let j = Math.max(0, first[i]!); j <= i; j++) {
        let v = root[i * n + j]!;
        for (let k = Math.max(first[i]!, first[j]!); k < j; k++) {
          v -= root[i * n + k]! * root[j * n + k]!;
        }
        if (i > j) root[i * n + j] = v / root[j * n + j]!;
        else if (v > 0) root[j * n + j] = Math.sqrt(v);
        else throw new RangeError('the rows leave an unknown open');
      }
      logDeterminant += 2 * Math.log(root[i * n + i]!);
    }
    for (let i = 0; i < n; i++) {
      for (let k = first[i]!; k < i; k++) x[i]! -= root[i * n + k]! * x[k]!;
      x[i]! /= root[i * n + i]!;
    }
    for (let i = n - 1; i >= 0; i--) {
      for (let k = i + 1; k < n; k++) if (first[k]! <= i) x[i]! -= root[k * n + i]! * x[k]!;
      x[i]! /= root[i * n + i]!;
    }
    const explained = x.reduce((sum, v, i) => sum + v * this.#right[i]!, 0);
    return { x, misfit: Math.max(0, this.#squares - explained), logDeterminant };
  }
}
