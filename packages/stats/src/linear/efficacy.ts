import { tQuantile } from '../distributions/student';
import type { LeastSquaresMeans } from './lsmeans';
import { ratioInterval } from './ratio';
import type { RatioInterval } from './ratio';
import { largestAbsolute, NOTHING } from './spread';
import type { Missing } from './spread';

/**
 * Why an efficacy, or its interval, is missing.
 *
 * - `control-not-positive`: the control shows no disease (or, for Henderson-Tilton, one of the
 *   means it divides by is not above 0), so there is nothing to be a percentage of.
 * - `control-too-uncertain`: the control's mean can't be told from 0; no bounded interval exists.
 * - `treated-not-positive`: the treated mean is not above 0, so its logarithm, and with it the
 *   Henderson-Tilton interval, does not exist; the percentage does.
 */
export type EfficacyMissing =
  | Missing
  | 'control-not-positive'
  | 'control-too-uncertain'
  | 'treated-not-positive';

/** Percent less than the untreated control; negative where there is more. Pointwise interval. */
export type Efficacy = {
  readonly level: string;
  readonly percent: number | undefined;
  readonly low: number | undefined;
  readonly high: number | undefined;
  readonly why: EfficacyMissing | undefined;
};

function missing(level: string, percent: number | undefined, why: EfficacyMissing): Efficacy {
  return { level, percent, low: undefined, high: undefined, why };
}

/** A mean, with rounding noise beside the data taken as the 0 it stands for. */
function cleanMean(lsm: LeastSquaresMeans, level: number): number | undefined {
  const { estimate } = lsm.means[level];
  if (estimate === undefined) return undefined;
  return Math.abs(estimate) <= NOTHING * largestAbsolute(lsm.fit.y) ? 0 : estimate;
}

function others(lsm: LeastSquaresMeans, control: number): number[] {
  return lsm.means.map((_, i) => i).filter((i) => i !== control);
}

/** Percent efficacy of a ratio treated / control: the interval turns round with the sign. */
export function efficacyOfRatio(level: string, interval: RatioInterval): Efficacy {
  if (interval.kind === 'none') return missing(level, undefined, 'control-not-positive');
  const percent = 100 * (1 - interval.ratio);
  if (interval.kind !== 'bounded') return missing(level, percent, 'control-too-uncertain');
  const low = 100 * (1 - interval.high);
  const high = 100 * (1 - interval.low);
  return { level, percent, low, high, why: undefined };
}

/**
 * Abbott's efficacy 100 (1 - T/C) of each level against the control (Abbott 1925, Journal of
 * Economic Entomology 18:265-267), from least-squares means, with Fieller's interval for T/C at the
 * means' confidence and the residual degrees of freedom. It is the efficacy of the means, not the
 * mean of block-wise efficacies. A control without disease gives no figure, never 0.
 */
export function abbottEfficacy(lsm: LeastSquaresMeans, control: number): Efficacy[] {
  const { spread } = lsm.fit;
  const base = cleanMean(lsm, control);
  return others(lsm, control).map((i) => {
    const { level, why } = lsm.means[i];
    const treated = cleanMean(lsm, i);
    if (base === undefined) {
      return missing(level, undefined, lsm.means[control].why ?? 'not-estimable');
    }
    if (treated === undefined) return missing(level, undefined, why ?? 'not-estimable');
    if (base <= 0) return missing(level, undefined, 'control-not-positive');
    if (!spread.known) return missing(level, 100 * (1 - treated / base), spread.why);
    const interval = ratioInterval({
      numerator: treated,
      denominator: base,
      varNumerator: (lsm.unscaled[i][i] ?? 0) * spread.ms,
      varDenominator: (lsm.unscaled[control][control] ?? 0) * spread.ms,
      covariance: (lsm.unscaled[i][control] ?? 0) * spread.ms,
      df: spread.df,
      confidence: lsm.confidence,
    });
    return efficacyOfRatio(level, interval);
  });
}

/** Residual variances and covariance of two responses fitted to the same plots and terms. */
type Errors = { readonly before: number; readonly after: number; readonly both: number };

function errorsOf(before: LeastSquaresMeans, after: LeastSquaresMeans): Errors {
  const a = before.fit.residuals;
  const b = after.fit.residuals;
  const { df } = after.fit.spread;
  let aa = 0;
  let bb = 0;
  let ab = 0;
  for (let i = 0; i < b.length; i++) {
    aa += a[i] * a[i];
    bb += b[i] * b[i];
    ab += a[i] * b[i];
  }
  return { before: aa / df, after: bb / df, both: ab / df };
}

type FourMeans = {
  readonly treatedBefore: number;
  readonly treatedAfter: number;
  readonly controlBefore: number;
  readonly controlAfter: number;
};

/**
 * Variance of log Ta - log Tb - log Ca + log Cb by the delta method. Both responses share the
 * layout, so each covariance is that of the means, unscaled, times the responses' residual
 * covariance: with w = 1/mean after and v = 1/mean before, each of the four pairs of levels adds
 * unscaled * (w w s_aa - (w v' + v w') s_ab + v v' s_bb).
 */
function logProductVariance(
  means: FourMeans,
  unscaled: readonly (readonly number[])[],
  errors: Errors,
): number {
  const w = [1 / means.treatedAfter, -1 / means.controlAfter];
  const v = [1 / means.treatedBefore, -1 / means.controlBefore];
  let variance = 0;
  for (let i = 0; i < 2; i++) {
    for (let j = 0; j < 2; j++) {
      const of =
        w[i] * w[j] * errors.after -
        (w[i] * v[j] + v[i] * w[j]) * errors.both +
        v[i] * v[j] * errors.before;
      variance += unscaled[i][j] * of;
    }
  }
  return Math.max(variance, 0);
}

function hendersonTiltonOf(
  level: string,
  means: FourMeans,
  logSe: { readonly se: number; readonly reach: number } | Missing,
): Efficacy {
  const below = means.treatedBefore * means.controlAfter;
  const ratio = (means.treatedAfter * means.controlBefore) / below;
  const percent = 100 * (1 - ratio);
  if (means.treatedAfter <= 0) return missing(level, percent, 'treated-not-positive');
  if (typeof logSe === 'string') return missing(level, percent, logSe);
  const factor = Math.exp(logSe.reach * logSe.se);
  const low = 100 * (1 - ratio * factor);
  const high = 100 * (1 - ratio / factor);
  return { level, percent, low, high, why: undefined };
}

/**
 * Henderson and Tilton's efficacy 100 (1 - Ta Cb / (Tb Ca)) of each level against the control
 * (Henderson & Tilton 1955, Journal of Economic Entomology 48:157-161): what is left after
 * treatment, set against the same plots before it and the control's own course.
 *
 * `before` and `after` are means of the same factor from fits of the same plots, in the same order,
 * to the same terms. The interval is a t interval on the logarithm by the delta method, with the
 * before-after covariance taken from the two fits' residuals. On the logarithm because the product
 * of two means is not normal, so Fieller's argument does not hold for it, while the logarithm is a
 * plain sum of four terms, of which no one is favoured. It assumes all four means several standard
 * errors above 0; it can't be formed when the treated mean after treatment is 0.
 *
 * @throws RangeError when the two fits are not of the same layout.
 */
export function hendersonTilton(
  before: LeastSquaresMeans,
  after: LeastSquaresMeans,
  control: number,
): Efficacy[] {
  if (before.fit.n !== after.fit.n || before.fit.rank !== after.fit.rank) {
    throw new RangeError('before and after must be fitted to the same plots and terms');
  }
  const { spread } = after.fit;
  const errors = errorsOf(before, after);
  const reach = spread.df > 0 ? tQuantile((1 + after.confidence) / 2, spread.df) : 0;
  return others(after, control).map((i) => {
    const level = after.means[i].level;
    const treatedBefore = cleanMean(before, i);
    const treatedAfter = cleanMean(after, i);
    const controlBefore = cleanMean(before, control);
    const controlAfter = cleanMean(after, control);
    if (treatedBefore === undefined || treatedAfter === undefined) {
      return missing(level, undefined, after.means[i].why ?? 'not-estimable');
    }
    if (controlBefore === undefined || controlAfter === undefined) {
      return missing(level, undefined, after.means[control].why ?? 'not-estimable');
    }
    if (Math.min(treatedBefore, controlBefore, controlAfter) <= 0) {
      return missing(level, undefined, 'control-not-positive');
    }
    const means = { treatedBefore, treatedAfter, controlBefore, controlAfter };
    const pair = [i, control];
    const unscaled = pair.map((p) => pair.map((q) => after.unscaled[p][q] ?? 0));
    const se = Math.sqrt(logProductVariance(means, unscaled, errors));
    return hendersonTiltonOf(level, means, spread.known ? { se, reach } : spread.why);
  });
}
