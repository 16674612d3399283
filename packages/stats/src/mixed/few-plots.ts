import { dunnett, type DunnettRoute } from '../distributions/dunnett';
import { fUpper } from '../distributions/fisher';
import type { Coefficient, FittedGrouping } from './coefficients';

/** What the layout gives a model of plants in plots to judge by. */
export type PlotDegrees = {
  /** Plots with a score. */
  readonly plots: number;
  /** Degrees of freedom that blocks (rows, columns) and treatments leave among the plots; at least 1. */
  readonly error: number;
  /** Names of the groupings above the plot, as the fit has them. */
  readonly above: readonly string[];
};

/** A fit whose coefficients are the treatments' contrasts against the control, and nothing else. */
export type ShiftFit = {
  readonly thresholds: readonly unknown[];
  readonly fixed: readonly Coefficient[];
  readonly covariance: Float64Array | undefined;
  readonly groups: readonly FittedGrouping[];
};

/** A treatment against the control on the scale of the model's logarithms. */
export type Shift = {
  readonly name: string;
  readonly estimate: number;
  readonly se: number;
  /** p and limits hold for all comparisons together. */
  readonly p: number;
  readonly low: number;
  readonly high: number;
};

export type Shifts = {
  readonly shifts: readonly Shift[];
  readonly df: number;
  /** What the model's own standard errors were multiplied by. */
  readonly widened: number;
  readonly route: DunnettRoute;
};

const requireDegrees = ({ error, plots }: PlotDegrees): void => {
  if (error >= 1 && plots > error) return;
  throw new RangeError(
    `error degrees of freedom must be from 1 to less than the ${plots} plots; got ${error}`,
  );
};

/** Degrees of freedom that the groupings take: their levels, each after the first less one. */
const taken = (groups: readonly FittedGrouping[]): number =>
  groups.reduce((sum, { levels }, i) => sum + levels.length - (i > 0 ? 1 : 0), 0);

/**
 * What standard errors by maximum likelihood must be multiplied by: it divides what differs between
 * plots by all plots less blocks, least squares by the degrees of freedom that treatments leave
 * too. sqrt((plots - blocks) / error): exact where the plots' own variation is all there is, too
 * wide where part of it is plants' chance, which maximum likelihood knows.
 */
export const plotWidening = (fit: ShiftFit, degrees: PlotDegrees): number => {
  requireDegrees(degrees);
  const used = degrees.plots - taken(fit.groups.filter(({ name }) => degrees.above.includes(name)));
  return Math.sqrt(Math.max(1, used / degrees.error));
};

/**
 * Each treatment against the control with p and limits for all of them together: Dunnett's t on
 * the layout's error degrees of freedom, with the model's correlations and its standard errors
 * widened by `plotWidening`. Undefined without standard errors.
 *
 * @throws RangeError for degrees of freedom that are none.
 */
export const shiftsVersusControl = (
  fit: ShiftFit,
  degrees: PlotDegrees,
  confidence = 0.95,
): Shifts | undefined => {
  const widened = plotWidening(fit, degrees);
  const { covariance, fixed } = fit;
  const m = fixed.length;
  if (covariance === undefined || m === 0) return undefined;
  const skip = fit.thresholds.length;
  const size = skip + m;
  const at = (i: number, j: number): number => covariance[(skip + i) * size + skip + j];
  const sd = fixed.map((_, i) => Math.sqrt(at(i, i)));
  if (!sd.every((s) => s > 0)) return undefined;
  const correlation = fixed.map((_, i) =>
    fixed.map((__, j) => (i === j ? 1 : at(i, j) / (sd[i] * sd[j]))),
  );
  const largest = dunnett(correlation, degrees.error);
  const reach = largest.quantile(confidence);
  const shifts = fixed.map(({ name, estimate }, i) => {
    const se = sd[i] * widened;
    const p = largest.upper(estimate / se).p;
    return { name, estimate, se, p, low: estimate - reach * se, high: estimate + reach * se };
  });
  return { shifts, df: degrees.error, widened, route: largest.route };
};

/** A likelihood ratio held against F. */
export type FewPlotsTest = {
  /** Twice the difference of the log-likelihoods. */
  readonly ratio: number;
  readonly f: number;
  readonly df1: number;
  readonly df2: number;
  readonly p: number;
};

/**
 * The test of all treatments from the likelihood ratio LR of a model of plants in plots, with the
 * layout's degrees of freedom: f = (df2 / df1) (exp(LR / used) - 1) against F on df1 and df2, used
 * the plots less the levels of those groupings above the plot that differ at all. Where plots'
 * variation is all there is, LR = used log(1 + F df1 / df2) of the analysis of variance, so f is
 * its F. Where part of it is plants' chance f is smaller than that F: the test errs towards finding
 * less (docs/methods.md has the simulations; the plain chi-square of LR errs the other way).
 *
 * @throws RangeError for degrees of freedom that are none.
 */
export const fewPlotsTest = (
  fit: ShiftFit & { readonly logLik: number },
  logLikWithout: number,
  degrees: PlotDegrees,
): FewPlotsTest | undefined => {
  requireDegrees(degrees);
  const df1 = fit.fixed.length;
  const ratio = Math.max(0, 2 * (fit.logLik - logLikWithout));
  if (df1 === 0 || !Number.isFinite(ratio)) return undefined;
  const differing = fit.groups.filter(
    ({ name, atZero }) => degrees.above.includes(name) && !atZero,
  );
  const f = (degrees.error / df1) * Math.expm1(ratio / (degrees.plots - taken(differing)));
  return { ratio, f, df1, df2: degrees.error, p: fUpper(f, df1, degrees.error) };
};
