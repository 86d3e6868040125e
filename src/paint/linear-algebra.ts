/** The few dense operations that inference on small matrices needs. Matrices are row-major. */

/**
 * Lower Cholesky factor of a symmetric positive definite n×n matrix, or undefined if it is not one.
 * Written into `lower` when that is given: then its upper part is left as it was.
 */
export function cholesky(
  matrix: Float64Array,
  n: number,
  lower = new Float64Array(n * n),
): Float64Array | undefined {
  for (let row = 0; row < n; row++) {
    for (let column = 0; column <= row; column++) {
      let sum = matrix[row * n + column]!;
      for (let k = 0; k < column; k++) sum -= lower[row * n + k]! * lower[column * n + k]!;
      if (row === column) {
        if (!(sum > 0)) return undefined;
        lower[row * n + row] = Math.sqrt(sum);
      } else {
        lower[row * n + column] = sum / lower[column * n + column]!;
      }
    }
  }
  return lower;
}

/** Solves L·x = right side in place, L lower triangular n×n. */
export function solveLower(lower: Float64Array, n: number, x: Float64Array): Float64Array {
  for (let row = 0; row < n; row++) {
    let sum = x[row]!;
    for (let k = 0; k < row; k++) sum -= lower[row * n + k]! * x[k]!;
    x[row] = sum / lower[row * n + row]!;
  }
  return x;
}

/** Solves Lᵀ·x = right side in place, L lower triangular n×n. */
export function solveUpper(lower: Float64Array, n: number, x: Float64Array): Float64Array {
  for (let row = n - 1; row >= 0; row--) {
    let sum = x[row]!;
    for (let k = row + 1; k < n; k++) sum -= lower[k * n + row]! * x[k]!;
    x[row] = sum / lower[row * n + row]!;
  }
  return x;
}

/** Solves A·x = right side in place, given the Cholesky factor of A. */
export function solveCholesky(lower: Float64Array, n: number, x: Float64Array): Float64Array {
  return solveUpper(lower, n, solveLower(lower, n, x));
}

/** A·Bᵀ of an m×k and an n×k matrix, m×n. */
export function timesTransposed(
  left: Float64Array,
  m: number,
  right: Float64Array,
  n: number,
  k: number,
): Float64Array {
  const product = new Float64Array(m * n);
  const symmetric = left === right;
  for (let row = 0; row < m; row++) {
    for (let column = 0; column < (symmetric ? row + 1 : n); column++) {
      // In two sums: one alone would wait for itself at every term.
      let even = 0;
      let odd = 0;
      const a = row * k;
      const b = column * k;
      if (k % 2 === 1) even = left[a + k - 1]! * right[b + k - 1]!;
      for (let i = 1; i < k; i += 2) {
        even += left[a + i - 1]! * right[b + i - 1]!;
        odd += left[a + i]! * right[b + i]!;
      }
      product[row * n + column] = even + odd;
      if (symmetric) product[column * n + row] = even + odd;
    }
  }
  return product;
}
