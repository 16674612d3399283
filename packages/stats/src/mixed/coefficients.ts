import { normalUpper } from '../distributions/normal';
import type { Groupings, MergedGrouping } from './design';
import { coefficientCovariance, type EngineFit, type FitHow, type Penalised } from './engine';

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

/** What the fits of all mixed models here have in common. */
export type MixedFitParts = {
  /** Marginal log-likelihood, constants included, penalty excluded. */
  readonly logLik: number;
  readonly parameters: number;
  readonly fixed: readonly Coefficient[];
  readonly groups: readonly FittedGrouping[];
  readonly merged: readonly MergedGrouping[];
  /** Columns left out because earlier ones already say the same. */
  readonly dropped: readonly string[];
  /** Set only when a treatment has all its rows at one end. */
  readonly penalised: Penalised | undefined;
  readonly how: FitHow;
};

/** A cut between two ordered classes, at an effect of zero. */
export type Threshold = {
  /** The class below the cut. */
  readonly upTo: number;
  readonly estimate: number;
  readonly se: number | undefined;
};

/** Two-sided normal test of estimate = 0. */
export const waldP = (estimate: number, se: number | undefined): number | undefined =>
  se === undefined || !(se > 0) ? undefined : 2 * normalUpper(Math.abs(estimate) / se);

/** The coefficients of a fit, in design order, each with its Wald test. */
const coefficientTable = (fit: EngineFit): Coefficient[] => {
  const p = fit.names.length;
  const covariance = coefficientCovariance(fit);
  return fit.names.map((name, i) => {
    const se = covariance ? Math.sqrt(covariance[i * (p + 1)]) : undefined;
    const estimate = fit.coefficients[i];
    return { name, estimate, se, p: waldP(estimate, se) };
  });
};

/** The thresholds of a fit whose shapes they are, each above the class in `upTo`. */
export const thresholdTable = (fit: EngineFit, upTo: readonly number[]): Threshold[] => {
  const joint = fit.shape.length + fit.names.length;
  return upTo.map((k, i) => ({
    upTo: k,
    estimate: fit.shape[i],
    se: fit.covariance ? Math.sqrt(fit.covariance[i * (joint + 1)]) : undefined,
  }));
};

/** The groupings of a fit in the caller's order, modes named by level. */
const groupingTable = (fit: EngineFit, { terms, levels }: Groupings): FittedGrouping[] =>
  terms.map(({ name }, k) => ({
    name,
    sd: fit.sd[k],
    atZero: fit.sd[k] === 0,
    levels: levels[k],
    modes: fit.modes[k],
  }));

/** The common parts of a fit. */
export const mixedFitParts = (fit: EngineFit, groupings: Groupings): MixedFitParts => ({
  logLik: fit.logLik,
  parameters: fit.parameters,
  fixed: coefficientTable(fit),
  groups: groupingTable(fit, groupings),
  merged: groupings.merged,
  dropped: fit.dropped,
  penalised: fit.penalised,
  how: fit.how,
});
