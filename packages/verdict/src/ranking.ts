import {
  type ExpectedSpread,
  ModelError,
  type Ranking as Figures,
  rankTreatments,
  type RankingInput,
} from '@fairbed/stats';
import { plotValues } from '@fairbed/trial';
import { type EarlierSpread, expectedFrom, leanSays } from './earlier';
import type { MethodInput } from './method-input';
import { type Modelled, modelled } from './modelled';
import { likely, listed } from './numbers';
import { scoreRows } from './score-rows';
import type { Grouping, PlotTable } from './table';

/** Chances of one treatment, given the data and the stated priors. They are no error rates. */
export type RankedChance = {
  readonly name: string;
  /** Of being the best of all; these sum to 1. */
  readonly best: number;
  /** Of being better than the control; 0 for the control itself. */
  readonly beatsControl: number;
  /** Of being better by the smallest difference worth having. */
  readonly beatsWorthwhile: number;
};

export type RankingHow = {
  /** Leaves as counts in plots, or one value a plot. */
  readonly data: 'counts' | 'values';
  readonly outcome: string;
  readonly round: string | null;
  readonly worthHavingPercent: number;
  /** The chances, in sentences for a grower. */
  readonly says: string;
  /** Standard deviations between blocks, plots ... with 95 % limits; log-odds for counts. */
  readonly spreads: readonly {
    readonly name: string;
    readonly median: number;
    readonly low: number;
    readonly high: number;
  }[];
  readonly earlier?: ExpectedSpread & { readonly says: string };
  readonly priors: string;
};

export type RankingPart = {
  readonly ranking: readonly RankedChance[];
  readonly rankingHow: RankingHow;
};

export type RankingOptions = {
  /** Smallest difference worth having, percent of the control. */
  readonly worthHavingPercent: number;
  readonly earlier?: readonly EarlierSpread[] | undefined;
};

/** Rows to rank by, and how many degrees of freedom they leave for the spread between plots. */
type Ground = Pick<RankingInput, 'treatment' | 'groups' | 'response'> & {
  readonly data: RankingHow['data'];
  readonly round: string | null;
  readonly ownDf: number;
  readonly absent: readonly string[];
};

type Coded = {
  readonly name: string;
  readonly codes: ArrayLike<number>;
  readonly levels: readonly string[];
};

const distinct = (codes: ArrayLike<number>): number => new Set(Array.from(codes)).size;

/** Levels that have rows, with their codes; and those that have none. */
function present(treatment: Grouping) {
  const seen = new Set(treatment.codes);
  const levels = treatment.levels.filter((_, code) => seen.has(code));
  const absent = treatment.levels.filter((_, code) => !seen.has(code));
  const codes = Array.from(treatment.codes, (code) => levels.indexOf(treatment.levels[code] ?? ''));
  return { levels, codes, absent };
}

/** Plots less treatments less what blocks (rows, columns, whole plots in place of blocks) take. */
function freedom(plots: number, treatments: number, above: readonly Coded[]): number {
  const whole = above.filter(({ name }) => name === 'whole plot');
  const taking = whole.length > 0 ? whole : above;
  return taking.reduce((df, { codes }) => df - (distinct(codes) - 1), plots - treatments);
}

/**
 * Leaves as counts: the plants of a plot are added up, since a plot's own random effect carries
 * whatever makes its plants alike.
 */
function byCounts({ tally, table, layout, control }: MethodInput, round: string): Ground {
  const rows = scoreRows(
    tally.trial,
    round,
    ({ standing, diseased }) =>
      standing !== undefined && diseased !== undefined && standing > 0 && diseased <= standing,
    true,
  );
  const { levels, codes, absent } = present(rows.treatment);
  const plot = coded(
    'plot',
    rows.scores.map((score) => score.plot),
  );
  const place = new Map(table.plots.map((id, i) => [id, i]));
  const above = groupsOf(table, layout.latin).map(({ name, group }) => ({
    name,
    levels: group.levels,
    codes: rows.scores.map((score) => group.codes[place.get(score.plot) ?? 0] ?? 0),
  }));
  return {
    data: 'counts',
    round,
    absent,
    treatment: { codes, levels, reference: control },
    groups: [...above, plot],
    response: {
      kind: 'counts',
      successes: rows.scores.map(({ diseased }) => diseased ?? 0),
      trials: rows.scores.map(({ standing }) => standing ?? 0),
    },
    ownDf: freedom(plot.levels.length, levels.length, above),
  };
}

function coded(name: string, keys: readonly string[]): Coded {
  const levels = [...new Set(keys)];
  return { name, levels, codes: keys.map((key) => levels.indexOf(key)) };
}

/** One value a plot. */
function byValues({ table, layout, outcome, control }: MethodInput): Ground {
  const y: number[] = [];
  const kept: number[] = [];
  table.plots.forEach((plot, i) => {
    const value = outcome?.values.get(plot);
    if (value === undefined) return;
    y.push(value);
    kept.push(i);
  });
  const take = (group: Grouping): Grouping => ({
    levels: group.levels,
    codes: Int32Array.from(kept, (i) => group.codes[i] ?? 0),
  });
  const { levels, codes, absent } = present(take(table.treatment));
  const groups = groupsOf(table, layout.latin).map(({ name, group }) => ({ name, ...take(group) }));
  return {
    data: 'values',
    round: null,
    absent,
    treatment: { codes, levels, reference: control },
    groups,
    response: { kind: 'values', y },
    ownDf: freedom(kept.length, levels.length, groups),
  };
}

/** What plots lie in: rows and columns, or blocks and the whole plots of a split plot. */
function groupsOf({ block, wholePlot, row, column }: PlotTable, latin: boolean) {
  const named = latin ? { row, column } : { block, 'whole plot': wholePlot };
  return Object.entries(named).flatMap(([name, group]) =>
    group && group.levels.length > 1 ? [{ name, group }] : [],
  );
}

/** Without any plot to spare the chances would rest on the priors alone. */
function checkSpread({ ownDf }: Ground, expected: ExpectedSpread | undefined): void {
  if (ownDf > 0 || expected !== undefined) return;
  throw new ModelError(
    'Chances of being the best need more plots than treatments and blocks, or earlier trials that tell how much plots scatter.',
  );
}

/** The chances in sentences: who is best, and who is better than the control by enough. */
function saysOf(figures: Figures, control: string, worthHavingPercent: number): string {
  const best = [...figures.treatments].sort((a, b) => b.best - a.best);
  const others = best
    .filter(({ level }) => level !== control)
    .sort((a, b) => b.beatsWorthwhile - a.beatsWorthwhile);
  const list = (of: typeof best, chance: (one: (typeof best)[number]) => number) =>
    listed(of.map((one) => `${one.level} ${likely(chance(one))}`));
  return `Chance of being the best: ${list(best, (one) => one.best)}. Chance of being better than ${control}: ${list(others, (one) => one.beatsControl)}; by ${worthHavingPercent}\u00a0% or more: ${list(others, (one) => one.beatsWorthwhile)}.`;
}

const PRIORS: Readonly<Record<RankingHow['data'], string>> = {
  counts:
    'Believed beforehand, on log-odds: each difference from the control normal(0, 2.5), the mean over all normal(0, 5), standard deviations between blocks and plots exponential with mean 1.',
  values:
    'Believed beforehand, with s the standard deviation of all plot values: each difference from the control normal(0, 2.5 s), the mean over all normal(their mean, 5 s), standard deviations between blocks and plots exponential with mean s.',
};

function notesOf(ground: Ground, figures: Figures): string[] {
  const notes: string[] = [];
  if (ground.absent.length > 0) {
    notes.push(`${listed(ground.absent)} gave no values and can’t be ranked.`);
  }
  if (figures.how.efficiency < 0.1) {
    notes.push('The chances of being the best could be found only roughly.');
  }
  return notes;
}

/**
 * The chance that each treatment is the best, better than the control, and better by the smallest
 * difference worth having (stats, `rankTreatments`): by leaf counts where the outcome is the share
 * diseased at the last round, by the plots' values otherwise. Chances lean on stated priors and are
 * no error rates: no step of evidence rests on them. One plot of each treatment is ranked only
 * where earlier trials tell how much plots scatter.
 */
export function rankingOf(input: MethodInput, options: RankingOptions): Modelled<RankingPart> {
  const { outcome, control } = input;
  if (outcome === undefined) return { known: false, why: 'Nothing to rank by was recorded.' };
  const { worthHavingPercent } = options;
  return modelled(() => {
    const round =
      outcome.id === 'incidence-last'
        ? (input.round ?? plotValues(input.tally, outcome.id).last?.id)
        : undefined;
    const ground = round === undefined ? byValues(input) : byCounts(input, round);
    const scale = ground.data === 'counts' ? 'log-odds' : 'outcome';
    const expected = expectedFrom(options.earlier, outcome.id, scale);
    checkSpread(ground, expected);
    const figures = rankTreatments({
      ...ground,
      better: outcome.better,
      worthHaving: worthHavingPercent / 100,
      ...(expected
        ? {
            spreads: {
              [ground.data === 'counts' ? 'plot' : 'residual']: {
                kind: 'spread',
                sd: expected.sd,
                df: expected.df,
              },
            },
          }
        : {}),
    });
    const earlier = expected && { ...expected, says: leanSays(expected, ground.ownDf) };
    const value: RankingPart = {
      ranking: figures.treatments.map(({ level, best, beatsControl, beatsWorthwhile }) => ({
        name: level,
        best,
        beatsControl,
        beatsWorthwhile,
      })),
      rankingHow: {
        data: ground.data,
        outcome: outcome.id,
        round: ground.round,
        worthHavingPercent,
        says: [saysOf(figures, control, worthHavingPercent), earlier?.says]
          .filter((part) => part !== undefined)
          .join(' '),
        spreads: figures.spreads.map(({ name, median, low, high }) => ({
          name: name === 'residual' ? 'plot' : name,
          median,
          low,
          high,
        })),
        ...(earlier ? { earlier } : {}),
        priors: PRIORS[ground.data],
      },
    };
    return { value, notes: notesOf(ground, figures) };
  });
}
