/** Eigenvalues, and eigenvectors in the columns of a row-major matrix. */
export type SymmetricEigen = { readonly values: Float64Array; readonly vectors: Float64Array };

/** Turns rows and columns p and q of the matrix, and columns p and q of the vectors. */
function rotate(a: Float64Array, v: Float64Array, p: number, q: number): void {
  const m = Math.sqrt(a.length);
  const theta = (a[q * m + q] - a[p * m + p]) / (2 * a[p * m + q]);
  const tangent = (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.hypot(theta, 1));
  const c = 1 / Math.hypot(tangent, 1);
  const s = tangent * c;
  for (let k = 0; k < m; k++) {
    const [x, y] = [a[k * m + p], a[k * m + q]];
    a[k * m + p] = c * x - s * y;
    a[k * m + q] = s * x + c * y;
  }
  for (let k = 0; k < m; k++) {
    const [x, y] = [a[p * m + k], a[q * m + k]];
    a[p * m + k] = c * x - s * y;
    a[q * m + k] = s * x + c * y;
    const [e, f] = [v[k * m + p], v[k * m + q]];
    v[k * m + p] = c * e - s * f;
    v[k * m + q] = s * e + c * f;
  }
}

/**
 * Eigenvalues and eigenvectors of a symmetric m x m matrix, row-major, by cyclic Jacobi rotations
 * (Golub & Van Loan, Matrix Computations, 4th ed., section 8.5).
 */
export function symmetricEigen(matrix: Float64Array, m: number): SymmetricEigen {
  const a = matrix.slice();
  const vectors = new Float64Array(m * m);
  for (let i = 0; i < m; i++) vectors[i * m + i] = 1;
  const size = Math.sqrt(a.reduce((sum, x) => sum + x * x, 0));
  for (let sweep = 0; sweep < 60; sweep++) {
    let largest = 0;
    for (let p = 0; p < m; p++) {
      for (let q = p + 1; q < m; q++) {
        const off = Math.abs(a[p * m + q]);
        largest = Math.max(largest, off);
        if (off > 1e-17 * size) rotate(a, vectors, p, q);
      }
    }
    if (largest <= 1e-15 * size) break;
  }
  return { values: Float64Array.from({ length: m }, (_, i) => a[i * m + i]), vectors };
}
