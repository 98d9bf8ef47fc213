/** Cholesky's factor of a symmetric matrix, and what is solved with it. Matrices are rows one after another. */

/**
 * @param matrix  symmetric, positive definite, n × n
 * @returns the lower factor L, matrix = L Lᵀ
 * @throws RangeError when the matrix is not positive definite
 */
export function cholesky(matrix: Float64Array, n: number): Float64Array {
  const lower = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j];
      for (let k = 0; k < j; k++) sum -= lower[i * n + k] * lower[j * n + k];
      if (j < i) lower[i * n + j] = sum / lower[j * n + j];
      else if (sum > 0) lower[i * n + i] = Math.sqrt(sum);
      else throw new RangeError("the matrix is not positive definite");
    }
  }
  return lower;
}

/** Solves L Lᵀ x = b in place. */
export function solveCholesky(lower: Float64Array, n: number, b: Float64Array): Float64Array {
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) b[i] -= lower[i * n + k] * b[k];
    b[i] /= lower[i * n + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) b[i] -= lower[k * n + i] * b[k];
    b[i] /= lower[i * n + i];
  }
  return b;
}
