import { normalUpper } from '../distributions/normal';
import type { Groupings } from './design';
import { coefficientCovariance, type EngineFit } from './engine';

/** A coefficient with its Wald test; `se` and `p` absent when the information can't be inverted. */
export type Coefficient = {
  readonly name: string;
  readonly estimate: number;
  readonly se: number | undefined;
  readonly p: number | undefined;
};

/** A grouping with its standard deviation (logits) and the conditional mode of each group. */
export type FittedGrouping = {
  readonly name: string;
  readonly sd: number;
  /** The standard deviation is zero: the groups differ no more than chance alone allows. */
  readonly atZero: boolean;
  readonly levels: readonly string[];
  readonly modes: Float64Array;
};

/** Two-sided normal test of estimate = 0. */
export const waldP = (estimate: number, se: number | undefined): number | undefined =>
  se === undefined || !(se > 0) ? undefined : 2 * normalUpper(Math.abs(estimate) / se);

/** The coefficients of a fit, in design order, each with its Wald test. */
export const coefficientTable = (fit: EngineFit): Coefficient[] => {
  const p = fit.names.length;
  const covariance = coefficientCovariance(fit);
  return fit.names.map((name, i) => {
    const se = covariance ? Math.sqrt(covariance[i * (p + 1)]) : undefined;
    const estimate = fit.coefficients[i];
    return { name, estimate, se, p: waldP(estimate, se) };
  });
};

/** The groupings of a fit in the caller's order, modes named by level. */
export const groupingTable = (fit: EngineFit, { terms, levels }: Groupings): FittedGrouping[] =>
  terms.map(({ name }, k) => ({
    name,
    sd: fit.sd[k],
    atZero: fit.sd[k] === 0,
    levels: levels[k],
    modes: fit.modes[k],
  }));
