/** Room for solving with the rows and columns of a symmetric matrix that are free. */
export type FreeSolver = {
  readonly n: number;
  /** 1 where the parameter may move. */
  readonly free: Uint8Array;
  readonly factor: Float64Array;
  readonly x: Float64Array;
  readonly index: Int32Array;
};

export const newFreeSolver = (n: number): FreeSolver => ({
  n,
  free: new Uint8Array(n).fill(1),
  factor: new Float64Array(n * n),
  x: new Float64Array(n),
  index: new Int32Array(n),
});

/** Lower Cholesky factor of the free part plus `ridge` on its diagonal; false unless definite. */
const factorise = (s: FreeSolver, matrix: Float64Array, m: number, ridge: number): boolean => {
  const { n, factor, index } = s;
  for (let j = 0; j < m; j++) {
    const column = index[j];
    let d = matrix[column * n + column] + ridge;
    const whole = Math.abs(d);
    for (let k = 0; k < j; k++) d -= factor[j * n + k] * factor[j * n + k];
    if (!(d > 1e-11 * whole)) return false;
    const root = Math.sqrt(d);
    factor[j * n + j] = root;
    for (let i = j + 1; i < m; i++) {
      let sum = matrix[index[i] * n + column];
      for (let k = 0; k < j; k++) sum -= factor[i * n + k] * factor[j * n + k];
      factor[i * n + j] = sum / root;
    }
  }
  return true;
};

const numberFree = (s: FreeSolver): number => {
  let m = 0;
  for (let i = 0; i < s.n; i++) if (s.free[i]) s.index[m++] = i;
  return m;
};

/** Whether the free part is positive definite. */
export const isDefinite = (s: FreeSolver, matrix: Float64Array): boolean =>
  factorise(s, matrix, numberFree(s), 0);

const largestDiagonal = (s: FreeSolver, matrix: Float64Array, m: number): number => {
  let largest = 1e-6;
  for (let j = 0; j < m; j++) {
    largest = Math.max(largest, Math.abs(matrix[s.index[j] * (s.n + 1)]));
  }
  return largest;
};

/**
 * `into` = inverse of the free part times the free part of `vector`, zero elsewhere. What keeps the
 * matrix from being positive definite is drowned in as small a multiple of the identity as will do.
 */
export const solveFree = (
  s: FreeSolver,
  matrix: Float64Array,
  vector: Float64Array,
  into: Float64Array,
): void => {
  const { n, factor, index, x } = s;
  const m = numberFree(s);
  let ridge = 0;
  while (!factorise(s, matrix, m, ridge)) {
    ridge = ridge === 0 ? 1e-3 * largestDiagonal(s, matrix, m) : ridge * 10;
    if (!Number.isFinite(ridge)) break;
  }
  for (let i = 0; i < m; i++) {
    let sum = vector[index[i]];
    for (let k = 0; k < i; k++) sum -= factor[i * n + k] * x[k];
    x[i] = sum / factor[i * n + i];
  }
  into.fill(0);
  for (let i = m - 1; i >= 0; i--) {
    let sum = x[i];
    for (let k = i + 1; k < m; k++) sum -= factor[k * n + i] * x[k];
    x[i] = sum / factor[i * n + i];
    into[index[i]] = x[i];
  }
};
