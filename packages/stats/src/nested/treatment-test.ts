import { chiSquareUpper } from '../distributions/gamma';
import { fUpper } from '../distributions/fisher';
import {
  type FixedFactor,
  fixedDesign,
  type Groupings,
  groupTerms,
  type RandomGrouping,
} from '../mixed/design';
import type { PlotDegrees } from '../mixed/few-plots';
import { createNestedFitter, type NestedFitter } from './fitter';

/** Counts of one layout, row by row, and how many rows there are. */
export type CountsLayout = {
  readonly rows: number;
  /** Fixed effects, the treatment first. */
  readonly factors: readonly FixedFactor[];
  readonly random: readonly RandomGrouping[];
};

/** The test of all treatments of one trial. Overwritten by the next. */
export type TreatmentTest = {
  /** Twice the difference of the log-likelihoods with and without treatments. */
  readonly statistic: number;
  readonly df: number;
  /** Against chi-square: too small with few plots; never to decide by. */
  readonly pPlain: number;
  /** Against F with the layout's error degrees of freedom; see `fewPlotsTest`. */
  readonly p: number;
  readonly converged: boolean;
  readonly penalised: boolean;
};

/** Two fits, with and without treatments, ready for any number of trials on one layout. */
export type TreatmentTester = {
  readonly full: NestedFitter;
  readonly without: NestedFitter;
  readonly groupings: Groupings;
  readonly df: number;
  /** The likelihood ratio alone. */
  readonly ratio: (successes: ArrayLike<number>, trials: ArrayLike<number>) => number;
  readonly test: (successes: ArrayLike<number>, trials: ArrayLike<number>) => TreatmentTest;
};

/**
 * Plots less the levels of those groupings above the plot whose variance is not zero, each after the
 * first counted one level less: what the plots' variation was measured by.
 */
const usedBy = (fitter: NestedFitter, { levels, terms }: Groupings, degrees: PlotDegrees) => {
  const sd = fitter.sd();
  let used = degrees.plots;
  let first = true;
  terms.forEach(({ name }, k) => {
    if (sd[k] === 0 || !degrees.above.includes(name)) return;
    used -= levels[k].length - (first ? 0 : 1);
    first = false;
  });
  return used;
};

/**
 * Makes ready the likelihood-ratio test of all treatments on one layout, to be repeated on new
 * counts without allocating: some 0.1 ms a trial of 16 plots. Every row must have leaves in every
 * trial tested. Undefined where the groupings cross or there are none, or without a second treatment.
 *
 * @throws ModelError on codes that can't be.
 */
export const createTreatmentTester = (
  layout: CountsLayout,
  degrees: PlotDegrees,
): TreatmentTester | undefined => {
  const kept = Array.from({ length: layout.rows }, (_, i) => i);
  const groupings = groupTerms(layout.random, layout.rows, kept);
  const fitterOf = (factors: readonly FixedFactor[]) =>
    createNestedFitter({
      design: fixedDesign({ factors }, layout.rows, kept, true),
      terms: groupings.terms,
    });
  const full = fitterOf(layout.factors);
  const without = fitterOf(layout.factors.slice(1));
  if (!full || !without) return undefined;
  const df = full.pooled.columns - without.pooled.columns;
  if (df < 1) return undefined;
  const ratio: TreatmentTester['ratio'] = (successes, trials) =>
    Math.max(0, 2 * (full.fit(successes, trials) - without.fit(successes, trials)));
  return {
    full,
    without,
    groupings,
    df,
    ratio,
    test: (successes, trials) => {
      const statistic = ratio(successes, trials);
      const f = (degrees.error / df) * Math.expm1(statistic / usedBy(full, groupings, degrees));
      return {
        statistic,
        df,
        pPlain: chiSquareUpper(statistic, df),
        p: fUpper(f, df, degrees.error),
        converged: full.converged() && without.converged(),
        penalised: full.penalised() || without.penalised(),
      };
    },
  };
};
