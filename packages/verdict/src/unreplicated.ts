import {
  countTippingSd,
  type ExpectedSpread,
  leaningDifference,
  ordinaryShares,
  type PlotCount,
  tippingSd,
} from '@fairbed/stats';
import type { Outcome, TreatmentMean } from './judgement';
import { leanSays } from './earlier';
import { figure, likely, listed, percent } from './numbers';

type Means = readonly Pick<TreatmentMean, 'name' | 'mean'>[];

/**
 * How far like plots would have to differ (standard deviation) for each difference from the
 * control to be ordinary: two single plots differ by more than 1.96 sqrt(2) sd once in twenty.
 */
export function tippingPoints(means: Means, control: number): NonNullable<Outcome['tippingPoint']> {
  const base = means[control]?.mean ?? null;
  if (base === null) return [];
  return means.flatMap(({ name, mean }, i) => {
    if (i === control || mean === null) return [];
    const difference = mean - base;
    const plotSd = tippingSd(difference);
    const percentOf = base > 0 ? (100 * plotSd) / base : null;
    return [{ name, difference, plotSd, plotSdPercentOfControl: percentOf }];
  });
}

/** A tipping point of counts: on log-odds, and as the shares that plots like the control's would span. */
export type CountTippingPoint = {
  readonly name: string;
  /** Log-odds of a leaf being diseased, minus the control's. */
  readonly difference: number;
  /** 0 where so few leaves differ as much by chance alone. */
  readonly plotSd: number;
  /** Percent diseased between which nineteen in twenty plots like the control's would then lie. */
  readonly lowPercent: number;
  readonly highPercent: number;
};

type Counted = readonly (PlotCount & { readonly name: string })[];

/** The tipping points of counts, one plot of each treatment. Plots without leaves are left out. */
export function countTippingPoints(plots: Counted, control: string): CountTippingPoint[] {
  const base = plots.find(({ name }) => name === control);
  if (base === undefined || base.leaves === 0) return [];
  const share = (base.diseased + 0.5) / (base.leaves + 1);
  return plots.flatMap((plot) => {
    if (plot === base || plot.leaves === 0) return [];
    const { difference, plotSd } = countTippingSd(plot, base);
    const { low, high } = ordinaryShares(share, plotSd);
    return [
      { name: plot.name, difference, plotSd, lowPercent: 100 * low, highPercent: 100 * high },
    ];
  });
}

/** The tipping points of counts, for a grower. */
export function countTippingSays(points: readonly CountTippingPoint[]): string | undefined {
  if (points.length === 0) return undefined;
  const parts = points.map(({ name, plotSd, lowPercent, highPercent }) =>
    plotSd === 0
      ? `${name}: so few leaves differ as much by chance alone`
      : `${name}: from ${percent(lowPercent)} to ${percent(highPercent)} of leaves diseased`,
  );
  return `Tipping points by leaves: a difference is ordinary if untreated plots of your bed range this widely, or wider. ${parts.join('; ')}.`;
}

/** Single plots held against the spread of earlier trials. */
export type Leaning = {
  readonly differences: readonly {
    readonly name: string;
    readonly difference: number;
    /** 95 % limits, given the earlier spread. */
    readonly low: number;
    readonly high: number;
    /** Chance that the treatment truly is better than the control, given the earlier spread. */
    readonly better: number;
  }[];
  readonly plotSd: number;
  readonly df: number;
  readonly trials: number;
  readonly says: string;
};

/**
 * Differences of single plots from the control with limits and chances that lean on the spread
 * between plots which earlier trials showed. They are no test of this trial: it has no error of its
 * own, and no grade above "a hint" can rest on them.
 */
export function leaningOn(
  means: Means,
  control: number,
  better: Outcome['better'],
  expected: ExpectedSpread,
): Leaning | undefined {
  const base = means[control]?.mean ?? null;
  if (base === null) return undefined;
  const differences = means.flatMap(({ name, mean }, i) => {
    if (i === control || mean === null) return [];
    const difference = mean - base;
    const { low, high, chance } = leaningDifference(difference, expected);
    const good = better === 'lower' ? difference < 0 : difference > 0;
    return [{ name, difference, low, high, better: good ? chance : 1 - chance }];
  });
  if (differences.length === 0) return undefined;
  const list = listed(
    differences.map(
      (one) =>
        `${one.name} ${likely(one.better)} (difference ${figure(one.difference)}, ${figure(one.low)} to ${figure(one.high)})`,
    ),
  );
  const { sd, df, trials } = expected;
  return {
    differences,
    plotSd: sd,
    df,
    trials,
    says: `One plot of each can't show its own error. If plots scatter as they did before, the chance of being better than the control: ${list}. ${leanSays(expected, 0)}`,
  };
}
