import { dot, estimateSolved, tReach, unknownEstimate } from './contrast';
import type { Estimate } from './contrast';
import { termIndex } from './fit';
import type { LinearFit } from './fit';
import { solveForm } from './householder';

/** One level's least-squares mean (`estimate`), the plots behind it, and its pointwise t interval. */
export type LeastSquaresMean = Estimate & {
  readonly level: string;
  readonly plots: number;
};

export type LeastSquaresMeans = {
  readonly fit: LinearFit;
  readonly factor: string;
  readonly confidence: number;
  readonly means: readonly LeastSquaresMean[];
  /** Each level's weights on the design's columns; undefined for a level without plots. */
  readonly forms: readonly (Float64Array | undefined)[];
  /**
   * Covariance of the means divided by the residual variance, level by level; undefined where a
   * mean is not estimable. Times `fit.spread.ms` it is the covariance matrix.
   */
  readonly unscaled: readonly (readonly (number | undefined)[])[];
};

/** A mean's weights but for the factor itself: equal over others' levels, covariates at the mean. */
function sharedForm(fit: LinearFit, factorIndex: number): Float64Array {
  const form = new Float64Array(fit.design.columns);
  form[0] = 1;
  fit.design.terms.forEach(({ term, from, to, counts }, index) => {
    if (index === factorIndex || term.kind === 'covariate') return;
    let present = 0;
    for (const count of counts) if (count > 0) present++;
    form.fill(1 / present, from, to);
  });
  return form;
}

/**
 * Least-squares means of a factor's levels: what each would average if every level of the other
 * factors (those with plots) counted alike and every covariate stood at its mean over the plots
 * (Searle, Speed & Milliken 1980, The American Statistician 34:216-221). In a complete balanced
 * trial they are the plain means. Not estimable, with the reason, where the layout leaves the
 * average open; in a model that also holds this factor's interaction always so: fit the cells
 * (`crossFactors`) in place of both instead.
 *
 * @throws RangeError when the fit has no factor of that name.
 */
export function leastSquaresMeans(
  fit: LinearFit,
  factor: string,
  confidence = 0.95,
): LeastSquaresMeans {
  const index = termIndex(fit, factor);
  const { term, counts, columnOf } = fit.design.terms[index];
  if (term.kind !== 'factor') throw new RangeError(`${factor} is a covariate; it has no levels`);
  const shared = sharedForm(fit, index);
  const forms = term.levels.map((_, level) => {
    if (counts[level] === 0) return undefined;
    const form = shared.slice();
    if (columnOf[level] >= 0) form[columnOf[level]] = 1;
    return form;
  });
  const solved = forms.map((form) => form && solveForm(fit.triangle, form));
  const reach = tReach(fit, confidence);
  const means = term.levels.map((level, i): LeastSquaresMean => {
    const u = solved[i];
    const why = counts[i] === 0 ? 'no-observations' : 'not-estimable';
    const estimate = u ? estimateSolved(fit, u, 1, reach) : unknownEstimate(fit.spread.df, why);
    return { level, plots: counts[i], ...estimate };
  });
  const unscaled = solved.map((u) => solved.map((v) => (u && v ? dot(u, v) : undefined)));
  return { fit, factor, confidence, means, forms, unscaled };
}
