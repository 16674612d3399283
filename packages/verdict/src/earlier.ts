import { type ExpectedSpread, expectedSpread, type FoundSpread } from '@fairbed/stats';
import type { Counts, Outcome } from './judgement';
import { figure, percent } from './numbers';

/**
 * How much like plots differed in an earlier trial of the same grower: standard deviation and its
 * degrees of freedom, of an outcome's plot values in their own unit, or of the log-odds of a leaf
 * being diseased where leaves were counted.
 */
export type EarlierSpread = FoundSpread & {
  readonly outcome: string;
  readonly scale: 'outcome' | 'log-odds';
};

/** The parts of a judgement that tell how much like plots differ. */
type Judged = { readonly outcomes: readonly Outcome[]; readonly counts?: Counts };

/**
 * Plots all alike tell only that scores were too coarse, or plots too few, to see them differ: a
 * spread of 0 is nothing for a later trial to lean on.
 */
const tells = ({ sd }: FoundSpread): boolean => sd > 0;

/**
 * The spreads that a judged trial hands on to later ones: of every outcome that had plots to measure
 * them by, and of the log-odds of a leaf being diseased where leaves were counted; none of 0.
 */
export function spreadsOf({ outcomes, counts }: Judged): EarlierSpread[] {
  const residualDf = ({ anova }: Outcome): number =>
    anova?.rows.find(({ source }) => source === 'residual')?.df ?? 0;
  const found = outcomes.flatMap((outcome): EarlierSpread[] => {
    const sd = outcome.anova?.residualSd ?? null;
    const df = residualDf(outcome);
    return sd === null || df < 1 ? [] : [{ outcome: outcome.id, scale: 'outcome', sd, df }];
  });
  const plot = counts?.sd.plot;
  const last = outcomes.find(({ id }) => id === 'incidence-last');
  const df = last === undefined ? 0 : residualDf(last);
  const all: EarlierSpread[] =
    plot === undefined || df < 1
      ? found
      : [...found, { outcome: 'incidence-last', scale: 'log-odds', sd: plot, df }];
  return all.filter(tells);
}

/** What earlier trials let expect of this one's plots; undefined where none fits the outcome. */
export function expectedFrom(
  earlier: readonly EarlierSpread[] | undefined,
  outcome: string,
  scale: EarlierSpread['scale'],
): ExpectedSpread | undefined {
  const fitting = (earlier ?? []).filter(
    (one) => one.outcome === outcome && one.scale === scale && tells(one),
  );
  return fitting.length === 0 ? undefined : expectedSpread(fitting);
}

const trials = (n: number): string => (n === 1 ? 'one earlier trial' : `${n} earlier trials`);

/** Leaning on earlier trials in words: their share of what is known of the spread, in percent. */
export function leanSays(expected: ExpectedSpread, ownDf: number): string {
  const share = (100 * expected.df) / (expected.df + ownDf);
  const what =
    ownDf > 0
      ? `${percent(share)} of what is known of the spread between plots comes from ${trials(expected.trials)}, the rest from this one`
      : `all that is known of the spread between plots comes from ${trials(expected.trials)}`;
  return `It leans on the past: ${what}. There like plots differed by a standard deviation of about ${figure(expected.sd)}. If this bed is less even, the figures are too sure.`;
}
