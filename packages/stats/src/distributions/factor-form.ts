import type { Correlation } from './correlation';
import { symmetricEigen } from './symmetric-eigen';

/** correlation = diag(unique) + sum over factors of loadings loadings', factors by falling weight. */
export type FactorForm = {
  readonly unique: Float64Array;
  readonly factors: readonly Float64Array[];
  /** Largest entry off the diagonal that the form leaves out. */
  readonly miss: number;
};

/** The barrier ends here: parts of the matrix that vanish exactly are left about this large. */
const LAST_BARRIER = 1e-12;
const BARRIER_STEP = 0.15;
/** Factors lighter than this, in units of the unique variances, are rounding and the barrier. */
const LIGHTEST = 3e-9;

/** Inverse of a symmetric positive definite matrix and the logarithm of its determinant. */
function inverseOf(a: Float64Array, m: number): { inverse: Float64Array; log: number } | undefined {
  const l = new Float64Array(m * m);
  let log = 0;
  for (let i = 0; i < m; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i * m + j];
      for (let k = 0; k < j; k++) sum -= l[i * m + k] * l[j * m + k];
      if (j < i) l[i * m + j] = sum / l[j * m + j];
      else if (!(sum > 0)) return undefined;
      else {
        l[i * m + i] = Math.sqrt(sum);
        log += Math.log(sum);
      }
    }
  }
  // The triangle is turned in place of a unit matrix, then multiplied with its own transpose.
  const turned = new Float64Array(m * m);
  for (let c = 0; c < m; c++) {
    for (let i = c; i < m; i++) {
      let sum = i === c ? 1 : 0;
      for (let k = c; k < i; k++) sum -= l[i * m + k] * turned[k * m + c];
      turned[i * m + c] = sum / l[i * m + i];
    }
  }
  const inverse = new Float64Array(m * m);
  for (let i = 0; i < m; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < m; k++) sum += turned[k * m + i] * turned[k * m + j];
      inverse[i * m + j] = sum;
      inverse[j * m + i] = sum;
    }
  }
  return { inverse, log };
}

type Place = { readonly d: Float64Array; readonly inverse: Float64Array; readonly value: number };

/** sum log d + barrier * log det(correlation - diag d), where both are defined. */
function placeAt(flat: Float64Array, d: Float64Array, barrier: number): Place | undefined {
  const m = d.length;
  const rest = flat.slice();
  let value = 0;
  for (let i = 0; i < m; i++) {
    if (!(d[i] > 0)) return undefined;
    rest[i * m + i] -= d[i];
    value += Math.log(d[i]);
  }
  const solved = inverseOf(rest, m);
  return solved && { d, inverse: solved.inverse, value: value + barrier * solved.log };
}

/** One Newton step, halved until it gains; undefined where it can't. */
function newtonStep(flat: Float64Array, { d, inverse, value }: Place, barrier: number) {
  const m = d.length;
  // Scaled by d on both sides the curvature is the unit matrix plus a positive one.
  const curvature = new Float64Array(m * m);
  const slope = new Float64Array(m);
  for (let i = 0; i < m; i++) {
    slope[i] = 1 - barrier * d[i] * inverse[i * m + i];
    for (let j = 0; j < m; j++) {
      curvature[i * m + j] = barrier * d[i] * d[j] * inverse[i * m + j] ** 2 + (i === j ? 1 : 0);
    }
  }
  const solved = inverseOf(curvature, m);
  if (!solved) return undefined;
  const step = slope.map((_, i) => {
    let sum = 0;
    for (let j = 0; j < m; j++) sum += solved.inverse[i * m + j] * slope[j];
    return sum;
  });
  const gain = step.reduce((sum, s, i) => sum + s * slope[i], 0);
  for (let size = 1; size > 1e-6; size /= 2) {
    const next = placeAt(
      flat,
      d.map((v, i) => v * (1 + size * step[i])),
      barrier,
    );
    if (next && next.value >= value + 0.1 * size * gain) return { next, gain };
  }
  return undefined;
}

/**
 * The largest unique variances, by their product, that leave correlation - diag(unique) without
 * negative eigenvalues: sum log unique is maximised behind a barrier on the determinant of the rest,
 * by Newton's method (an interior point on the semidefinite programme of minimum trace factor
 * analysis, ten Berge, Snijders & Zegers 1981, Psychometrika 46:201). Undefined when the matrix is
 * not safely positive definite.
 */
function uniqueVariances(flat: Float64Array, m: number): Float64Array | undefined {
  const whole = inverseOf(flat, m);
  if (!whole) return undefined;
  // 1 / (R^-1)_ii is the variance of each contrast given all others: an upper bound for one alone.
  let start = Float64Array.from({ length: m }, (_, i) => 0.5 / whole.inverse[i * m + i]);
  let place = placeAt(flat, start, 1);
  for (let i = 0; !place && i < 60; i++) {
    start = start.map((v) => v / 2);
    place = placeAt(flat, start, 1);
  }
  if (!place) return undefined;
  for (let barrier = 1; barrier > LAST_BARRIER; barrier *= BARRIER_STEP) {
    place = placeAt(flat, place.d, barrier) ?? place;
    for (let i = 0; i < 30; i++) {
      const moved = newtonStep(flat, place, barrier);
      if (!moved) break;
      place = moved.next;
      if (moved.gain < 1e-3) break;
    }
  }
  return place.d;
}

/**
 * A correlation matrix as unique variances and common factors, as few and light as can be had. Every
 * comparison with a control in a linear model has such a form with few factors: one for the control,
 * one for each covariate and for each lost plot (Woodbury's identity), and at most one for each block
 * that is not complete. Any other matrix has one too, with more factors. Undefined when the matrix is
 * not safely positive definite.
 */
export function factorForm(correlation: Correlation): FactorForm | undefined {
  const m = correlation.length;
  const flat = Float64Array.from(correlation.flat());
  const unique = uniqueVariances(flat, m);
  if (!unique) return undefined;
  const root = unique.map(Math.sqrt);
  const common = flat.map((r, at) => {
    const [i, j] = [Math.floor(at / m), at % m];
    return (i === j ? r - unique[i] : r) / (root[i] * root[j]);
  });
  const { values, vectors } = symmetricEigen(common, m);
  const kept = [...values.keys()]
    .filter((k) => values[k] > LIGHTEST)
    .sort((a, b) => values[b] - values[a]);
  const factors = kept.map((k) =>
    root.map((r, i) => r * Math.sqrt(values[k]) * vectors[i * m + k]),
  );
  let miss = 0;
  for (let i = 0; i < m; i++) {
    for (let j = 0; j < i; j++) {
      const formed = factors.reduce((sum, f) => sum + f[i] * f[j], 0);
      miss = Math.max(miss, Math.abs(correlation[i][j] - formed));
    }
    unique[i] = 1 - factors.reduce((sum, f) => sum + f[i] * f[i], 0);
  }
  return { unique, factors, miss };
}
