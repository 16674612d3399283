import { tQuantile, tTwoSided } from '../distributions/student';
import { termIndex } from './fit';
import type { LinearFit } from './fit';
import { solveForm } from './householder';
import type { Missing } from './spread';

/**
 * An estimate with its t interval and two-sided p. Whatever cannot be known is undefined and `why`
 * says why; the estimate itself can be known while its error is not.
 */
export type Estimate = {
  readonly estimate: number | undefined;
  readonly se: number | undefined;
  readonly df: number;
  readonly t: number | undefined;
  readonly p: number | undefined;
  readonly low: number | undefined;
  readonly high: number | undefined;
  readonly why: Missing | undefined;
};

/**
 * What to add up: the intercept's weight, and by term name one weight for each level (factors) or
 * one number (covariates, counted from their mean). A mean has intercept 1 and weights that sum to
 * 1 in every factor; a difference has intercept 0 and weights that sum to 0.
 */
export type Weights = {
  readonly intercept: number;
  readonly terms: Readonly<Record<string, readonly number[]>>;
};

/** Sum of products of two equally long vectors. */
export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

/** The value of a form whose solution (see `solveForm`) is u; `intercept` is its first entry. */
export function valueOf(fit: LinearFit, u: Float64Array, intercept: number): number {
  return dot(u, fit.triangle.effects) + intercept * fit.yMean;
}

/** An estimate that cannot be made at all. */
export function unknownEstimate(df: number, why: Missing): Estimate {
  const nothing = undefined;
  return {
    estimate: nothing,
    se: nothing,
    df,
    t: nothing,
    p: nothing,
    low: nothing,
    high: nothing,
    why,
  };
}

/** Half-width of the fit's t interval in standard errors; 0 where its error is unknown. */
export function tReach(fit: LinearFit, confidence: number): number {
  return fit.spread.known ? tQuantile((1 + confidence) / 2, fit.spread.df) : 0;
}

/** Estimate, standard error, t and interval of a solved form; `reach` from `tReach`. */
export function estimateSolved(
  fit: LinearFit,
  u: Float64Array,
  intercept: number,
  reach: number,
): Estimate {
  const { spread } = fit;
  const { df } = spread;
  const estimate = valueOf(fit, u, intercept);
  if (!spread.known) return { ...unknownEstimate(df, spread.why), estimate };
  const se = spread.sd * Math.sqrt(dot(u, u));
  const half = reach * se;
  const t = se > 0 ? estimate / se : undefined;
  const p = t === undefined ? undefined : tTwoSided(t, df);
  return { estimate, se, df, t, p, low: estimate - half, high: estimate + half, why: undefined };
}

/** The weights as one number for each column of the design, or why they estimate nothing. */
export function formOf(fit: LinearFit, weights: Weights): Float64Array | Missing {
  const form = new Float64Array(fit.design.columns);
  form[0] = weights.intercept;
  for (const name of Object.keys(weights.terms)) termIndex(fit, name);
  for (const { term, from, counts, columnOf } of fit.design.terms) {
    const given = weights.terms[term.name] as readonly number[] | undefined;
    if (term.kind === 'covariate') {
      form[from] = given?.[0] ?? 0;
      continue;
    }
    let sum = 0;
    let size = Math.abs(weights.intercept);
    for (let i = 0; i < counts.length; i++) {
      const weight = given?.[i] ?? 0;
      sum += weight;
      size += Math.abs(weight);
      if (columnOf[i] >= 0) form[columnOf[i]] = weight;
      else if (weight !== 0 && counts[i] === 0) return 'no-observations';
    }
    // The reference level has no column, so the rank alone would not notice its weight missing.
    if (Math.abs(sum - weights.intercept) > 1e-9 * size) return 'not-estimable';
  }
  return form;
}

/**
 * Any linear contrast of the fit's effects, with its t interval (pointwise).
 *
 * @throws RangeError for a term the fit does not have.
 */
export function contrast(fit: LinearFit, weights: Weights, confidence = 0.95): Estimate {
  const form = formOf(fit, weights);
  if (typeof form === 'string') return unknownEstimate(fit.spread.df, form);
  const u = solveForm(fit.triangle, form);
  if (u === undefined) return unknownEstimate(fit.spread.df, 'not-estimable');
  return estimateSolved(fit, u, form[0], tReach(fit, confidence));
}

/** Covariance of two linear contrasts of one fit; undefined when either, or the error, is unknown. */
export function contrastCovariance(fit: LinearFit, a: Weights, b: Weights): number | undefined {
  if (!fit.spread.known) return undefined;
  const formA = formOf(fit, a);
  const formB = formOf(fit, b);
  if (typeof formA === 'string' || typeof formB === 'string') return undefined;
  const u = solveForm(fit.triangle, formA);
  const v = solveForm(fit.triangle, formB);
  return u === undefined || v === undefined ? undefined : dot(u, v) * fit.spread.ms;
}

/** The slope of a covariate, adjusted for all other terms: y for each unit of it. */
export function slope(fit: LinearFit, covariate: string, confidence = 0.95): Estimate {
  return contrast(fit, { intercept: 0, terms: { [covariate]: [1] } }, confidence);
}
