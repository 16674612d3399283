/** Small dense linear algebra: a handful of coefficients, row-major square matrices. */

/** Lower Cholesky factor of a symmetric matrix; undefined unless positive definite. */
export const cholesky = (a: Float64Array, n: number): Float64Array | undefined => {
  const l = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    let d = a[j * n + j];
    for (let k = 0; k < j; k++) d -= l[j * n + k] ** 2;
    if (!(d > 1e-12 * Math.abs(a[j * n + j]))) return undefined;
    const root = Math.sqrt(d);
    l[j * n + j] = root;
    for (let i = j + 1; i < n; i++) {
      let sum = a[i * n + j];
      for (let k = 0; k < j; k++) sum -= l[i * n + k] * l[j * n + k];
      l[i * n + j] = sum / root;
    }
  }
  return l;
};

/** Inverse of a symmetric positive definite matrix; undefined when it is not one. */
export const inversePositive = (a: Float64Array, n: number): Float64Array | undefined => {
  const l = cholesky(a, n);
  if (l === undefined) return undefined;
  const inverse = new Float64Array(n * n);
  const x = new Float64Array(n);
  for (let c = 0; c < n; c++) {
    for (let i = 0; i < n; i++) {
      let sum = i === c ? 1 : 0;
      for (let k = 0; k < i; k++) sum -= l[i * n + k] * x[k];
      x[i] = sum / l[i * n + i];
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = x[i];
      for (let k = i + 1; k < n; k++) sum -= l[k * n + i] * x[k];
      x[i] = sum / l[i * n + i];
    }
    for (let i = 0; i < n; i++) inverse[i * n + c] = x[i];
  }
  return inverse;
};

/** y = A x for a square row-major matrix. */
export const times = (a: Float64Array, x: Float64Array): Float64Array => {
  const n = x.length;
  return Float64Array.from({ length: n }, (_, i) => {
    let sum = 0;
    for (let k = 0; k < n; k++) sum += a[i * n + k] * x[k];
    return sum;
  });
};

/** Inner product of two vectors of one length. */
export const dot = (a: Float64Array, b: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
};

/** a' M b for a square row-major matrix. */
export const quadratic = (a: Float64Array, m: Float64Array, b: Float64Array): number =>
  dot(a, times(m, b));
