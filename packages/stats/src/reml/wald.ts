import { fUpper } from '../distributions/fisher';
import { tQuantile, tTwoSided } from '../distributions/student';
import { symmetricEigen } from '../distributions/symmetric-eigen';
import type { Estimate } from '../linear/contrast';
import { termIndex } from '../linear/fit';
import { cholesky, dot } from '../mixed/dense';
import type { Precision } from './information';

/** An F test with its numerator and denominator degrees of freedom. */
export type WaldTest = {
  readonly f: number;
  readonly df: number;
  readonly denDf: number;
  readonly p: number;
  /** What F was multiplied by to be an F: 1 but for Kenward and Roger's. */
  readonly scaling: number;
};

/** Forms in the basis of the fixed effects, p numbers each. */
type Forms = readonly Float64Array[];

/** a' C b for a row-major C. */
export function quadratic(a: Float64Array, c: Float64Array, b: Float64Array): number {
  const n = a.length;
  let sum = 0;
  for (let i = 0; i < n; i++) {
    const weight = a[i];
    if (weight === 0) continue;
    let row = 0;
    for (let j = 0; j < n; j++) row += c[i * n + j] * b[j];
    sum += weight * row;
  }
  return sum;
}

/** a' C b for every pair of forms. */
function gram(forms: Forms, c: Float64Array): Float64Array {
  const n = forms.length;
  const out = new Float64Array(n * n);
  forms.forEach((a, i) => forms.forEach((b, j) => (out[i * n + j] = quadratic(a, c, b))));
  return out;
}

/** v' G^-1 v; undefined where G is singular. */
function squareOver(v: Float64Array, g: Float64Array): number | undefined {
  const n = v.length;
  const l = cholesky(g, n);
  if (!l) return undefined;
  let sum = 0;
  const x = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let rest = v[i];
    for (let k = 0; k < i; k++) rest -= l[i * n + k] * x[k];
    x[i] = rest / l[i * n + i];
    sum += x[i] * x[i];
  }
  return sum;
}

/** Solves G X = B column by column for a symmetric positive definite G, all n x n. */
function solveAll(g: Float64Array, b: Float64Array, n: number): Float64Array {
  const l = cholesky(g, n);
  const out = new Float64Array(n * n);
  if (!l) return out;
  for (let c = 0; c < n; c++) {
    const x = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      let rest = b[i * n + c];
      for (let k = 0; k < i; k++) rest -= l[i * n + k] * x[k];
      x[i] = rest / l[i * n + i];
    }
    for (let i = n - 1; i >= 0; i--) {
      for (let k = i + 1; k < n; k++) x[i] -= l[k * n + i] * x[k];
      x[i] /= l[i * n + i];
      out[i * n + c] = x[i];
    }
  }
  return out;
}

const trace = (a: Float64Array, n: number): number => {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += a[i * n + i];
  return sum;
};

function traceProduct(a: Float64Array, b: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) sum += a[i * n + j] * b[j * n + i];
  return sum;
}

/** A1 and A2 of Kenward & Roger 1997, section 3: G^-1 L phi M_i phi L' for each parameter. */
function spreads(precision: Precision, forms: Forms, variances: Float64Array) {
  const { size } = precision.fit.model;
  const n = forms.length;
  const g = gram(forms, precision.fit.place.phi);
  const turned = precision.turns.map((turn) => solveAll(g, gram(forms, turn), n));
  let a1 = 0;
  let a2 = 0;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) {
      const weight = variances[i * size + j];
      a1 += weight * trace(turned[i], n) * trace(turned[j], n);
      a2 += weight * traceProduct(turned[i], turned[j], n);
    }
  }
  return { a1, a2 };
}

/** A1 and A2 this close, relatively, tell of forms that turn on one and the same variance. */
const ONE_VARIANCE = 1e-8;

/**
 * Denominator df and scaling of F (Kenward & Roger 1997, section 3; not the 2009 revision). Where
 * all forms turn on one variance, A1 = rows x A2, F is a ratio of mean squares and theirs comes to
 * 2 rows / A2 with no scaling; it is given so, since their ratio is 0/0 on 2 degrees of freedom.
 */
function kenwardRoger(precision: Precision, forms: Forms): { denDf: number; scaling: number } {
  const rows = forms.length;
  const { variances } = precision;
  const { a1, a2 } = variances ? spreads(precision, forms, variances) : { a1: 0, a2: 0 };
  if (a2 <= 0) return { denDf: Infinity, scaling: 1 };
  if (Math.abs(a1 - rows * a2) <= ONE_VARIANCE * a1) return { denDf: (2 * rows) / a2, scaling: 1 };
  const b = (a1 + 6 * a2) / (2 * rows);
  const g = ((rows + 1) * a1 - (rows + 4) * a2) / ((rows + 2) * a2);
  const below = 3 * rows + 2 * (1 - g);
  const top = 1 + (g / below) * b;
  const left = 1 - ((rows - g) / below) * b;
  const right = 1 - ((rows + 2 - g) / below) * b;
  const expectation = 1 - a2 / rows;
  const ratio = ((expectation / left) ** 2 * top) / right / rows;
  const denDf = 4 + (rows + 2) / (rows * ratio - 1);
  const scaling = Math.abs(denDf - 2) < 1e-2 ? 1 : (denDf * expectation) / (denDf - 2);
  return { denDf, scaling };
}

/**
 * Degrees of freedom of a single form by the spread of its variance: 2 (l'phi l)^2 / Var(l'phi l)
 * (Satterthwaite 1946, Biometrics Bulletin 2:110-114; Giesbrecht & Burns 1985, Biometrics
 * 41:477-486). Kenward and Roger's comes to the same with the expected information.
 */
export function formDf(precision: Precision, form: Float64Array): number {
  const { fit, variances } = precision;
  if (!variances) return Infinity;
  const turns = Float64Array.from(precision.turns, (turn) => quadratic(form, turn, form));
  const spread = quadratic(turns, variances, turns);
  const variance = quadratic(form, fit.place.phi, form);
  return spread > 0 ? (2 * variance * variance) / spread : Infinity;
}

/** Several forms at once (Fai & Cornelius 1996, J. Stat. Comput. Simul. 54:363-378). */
function satterthwaite(precision: Precision, forms: Forms): number {
  const n = forms.length;
  const { vectors } = symmetricEigen(gram(forms, precision.fit.place.phi), n);
  const dfs = forms.map((_, m) => {
    const form = new Float64Array(forms[0].length);
    forms.forEach((one, k) => one.forEach((v, j) => (form[j] += vectors[k * n + m] * v)));
    return formDf(precision, form);
  });
  const [first] = dfs;
  if (dfs.every((df) => Math.abs(df - first) < 1e-8 * first)) return first;
  if (dfs.some((df) => df <= 2)) return 2;
  const sum = dfs.reduce((total, df) => total + (df === Infinity ? 1 : df / (df - 2)), 0);
  return sum > n ? (2 * sum) / (sum - n) : Infinity;
}

/**
 * Wald F of several forms being zero together; undefined where they are not independent, and where
 * the approximation has no degrees of freedom to give.
 */
export function formsTest(precision: Precision, forms: Forms): WaldTest | undefined {
  if (forms.length === 0) return undefined;
  const { gamma } = precision.fit.place;
  const values = Float64Array.from(forms, (form) => dot(form, gamma));
  const whole = squareOver(values, gram(forms, precision.covariance));
  if (whole === undefined) return undefined;
  const { denDf, scaling } =
    precision.method === 'kenward-roger'
      ? kenwardRoger(precision, forms)
      : { denDf: satterthwaite(precision, forms), scaling: 1 };
  const f = (scaling * whole) / forms.length;
  if (!Number.isFinite(f) || !(scaling > 0 && denDf > 0)) return undefined;
  return { f, df: forms.length, denDf, p: fUpper(f, forms.length, denDf), scaling };
}

/**
 * F test of a term of the fixed part, adjusted (as least squares would) for the terms before it and
 * not for those after: the hypotheses of the sequential analysis of variance, weighed with the
 * fitted covariance. Undefined for a term that adds nothing to those before it, and where there are
 * no degrees of freedom to test it on.
 *
 * @throws RangeError when there is no such term.
 */
export function termTest(precision: Precision, name: string): WaldTest | undefined {
  const { linear } = precision.fit;
  const { from, to } = linear.design.terms[termIndex(linear, name)];
  const forms: Float64Array[] = [];
  for (let j = from; j < to; j++) {
    const k = linear.triangle.place[j];
    if (k < 0) continue;
    const form = new Float64Array(precision.fit.model.p);
    form[k] = 1;
    forms.push(form);
  }
  return formsTest(precision, forms);
}

/** Estimate of a form with its own degrees of freedom; `intercept` is its weight on the overall mean. */
export function formEstimate(
  precision: Precision,
  form: Float64Array,
  intercept: number,
  confidence = 0.95,
): Estimate {
  const { fit, covariance } = precision;
  const estimate = dot(form, fit.place.gamma) + intercept * fit.linear.yMean;
  const se = Math.sqrt(quadratic(form, covariance, form));
  const df = formDf(precision, form);
  const t = se > 0 ? estimate / se : undefined;
  const half = tQuantile((1 + confidence) / 2, df) * se;
  return {
    estimate,
    se,
    df,
    t,
    p: t === undefined ? undefined : tTwoSided(t, df),
    low: estimate - half,
    high: estimate + half,
    why: undefined,
  };
}
