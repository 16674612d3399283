/**
 * v' V^- v and the rank of V, for a symmetric non-negative definite V (row after row) and a v in
 * its range, by Cholesky with the largest pivot first (Higham 2002, Accuracy and Stability, section
 * 10.3). Rows whose remaining pivot is below 1e-10 of the largest at the start are left out.
 * Overwrites both.
 */
export function quadraticForm(
  v: Float64Array,
  matrix: Float64Array,
): { readonly value: number; readonly rank: number } {
  const n = v.length;
  const left = new Set(Array.from({ length: n }, (_, i) => i));
  let largest = 0;
  for (const i of left) largest = Math.max(largest, matrix[i * n + i]);
  const least = 1e-10 * largest;
  let value = 0;
  let rank = 0;
  for (;;) {
    let pivot = -1;
    for (const i of left) {
      if (pivot < 0 || matrix[i * n + i] > matrix[pivot * n + pivot]) pivot = i;
    }
    if (pivot < 0) break;
    const d = matrix[pivot * n + pivot];
    if (d <= least) break;
    left.delete(pivot);
    value += (v[pivot] * v[pivot]) / d;
    rank++;
    for (const i of left) {
      const ratio = matrix[i * n + pivot] / d;
      v[i] -= ratio * v[pivot];
      for (const j of left) matrix[i * n + j] -= ratio * matrix[pivot * n + j];
    }
  }
  return { value, rank };
}
