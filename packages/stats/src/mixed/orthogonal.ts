import { dot } from './dense';

/**
 * A design whose columns are orthogonal with mean square one, so that one step length suits every
 * coefficient, and the way back: beta = back * gamma. Columns that depend on earlier ones are left
 * out and named in `dropped` (their coefficients can't be told apart from the earlier ones).
 */
export type OrthogonalDesign = {
  readonly matrix: Float64Array;
  /** Indexes of the columns kept, in order. */
  readonly kept: readonly number[];
  readonly dropped: readonly number[];
  /** Row-major, kept x kept, upper triangular. */
  readonly back: Float64Array;
};

const columnOf = (x: Float64Array, rows: number, columns: number, j: number): Float64Array =>
  Float64Array.from({ length: rows }, (_, i) => x[i * columns + j]);

/** A column that loses all but this share of its length to the earlier ones depends on them. */
const DEPENDENT = 1e-9;

/** Modified Gram-Schmidt, twice over (Golub & Van Loan, Matrix Computations, 5.2.8). */
export const orthogonalise = (x: Float64Array, rows: number, columns: number): OrthogonalDesign => {
  const basis: Float64Array[] = [];
  const upper: number[][] = [];
  const kept: number[] = [];
  const dropped: number[] = [];
  for (let j = 0; j < columns; j++) {
    const v = columnOf(x, rows, columns, j);
    const before = Math.sqrt(dot(v, v));
    const r = basis.map(() => 0);
    for (let pass = 0; pass < 2; pass++) {
      basis.forEach((q, k) => {
        const along = dot(q, v) / rows;
        r[k] += along;
        for (let i = 0; i < rows; i++) v[i] -= along * q[i];
      });
    }
    const after = Math.sqrt(dot(v, v));
    if (!(after > DEPENDENT * before)) {
      dropped.push(j);
      continue;
    }
    const scale = after / Math.sqrt(rows);
    basis.push(v.map((value) => value / scale));
    upper.push([...r, scale]);
    kept.push(j);
  }
  return { matrix: interleave(basis, rows), kept, dropped, back: invertUpper(upper) };
};

const interleave = (basis: readonly Float64Array[], rows: number): Float64Array => {
  const p = basis.length;
  const matrix = new Float64Array(rows * p);
  basis.forEach((q, j) => {
    for (let i = 0; i < rows; i++) matrix[i * p + j] = q[i];
  });
  return matrix;
};

/** Inverse of the upper triangular matrix whose column j is upper[j]. */
const invertUpper = (upper: readonly (readonly number[])[]): Float64Array => {
  const p = upper.length;
  const inverse = new Float64Array(p * p);
  for (let c = 0; c < p; c++) {
    for (let i = c; i >= 0; i--) {
      let sum = i === c ? 1 : 0;
      for (let k = i + 1; k <= c; k++) sum -= upper[k][i] * inverse[k * p + c];
      inverse[i * p + c] = sum / upper[i][i];
    }
  }
  return inverse;
};
