import { pick, usableRows } from '../mixed/counts';
import { ModelError } from '../mixed/design';
import {
  checkTreatments,
  type Grouped,
  type Hierarchy,
  meanPrecision,
  type MeanPrior,
  usedTerms,
} from './hierarchy';
import { type Effort, type PosteriorPoints, posteriorPoints } from './posterior';
import { countResponse, normalResponse } from './response';
import type { SdPrior } from './sd-prior';
import { summarise, summariseSpread, type Summary } from './summaries';

/** Which treatment is best, as far as values or counts tell. */
export type RankingInput = {
  readonly treatment: {
    readonly codes: ArrayLike<number>;
    readonly levels: readonly string[];
    /** The untreated control. */
    readonly reference: string;
  };
  /** Blocks, rows, columns, plots: whatever rows share. Groupings of one group are left out. */
  readonly groups: readonly Grouped[];
  readonly response:
    | {
        readonly kind: 'counts';
        readonly successes: ArrayLike<number>;
        readonly trials: ArrayLike<number>;
      }
    | { readonly kind: 'values'; readonly y: ArrayLike<number> };
  readonly better: 'lower' | 'higher';
  /** Smallest difference worth having, as a share of the control's mean or probability. */
  readonly worthHaving: number;
  /** Priors of spreads by name of the grouping, or `residual`, in place of the weak ones. */
  readonly spreads?: Readonly<Record<string, SdPrior>>;
  readonly effort?: Effort;
};

export type RankedTreatment = {
  readonly level: string;
  /** Chance of being the best of all. The chances of all treatments sum to 1. */
  readonly best: number;
  /** Chance of being better than the control, and by the difference worth having; 0 for itself. */
  readonly beatsControl: number;
  readonly beatsWorthwhile: number;
  /** Mean place, 1 is the best. */
  readonly expectedRank: number;
  /** Of the mean; for counts of the probability in a typical plot (random effects 0). */
  readonly mean: Summary;
  /** Minus the control; for counts on the logit scale. 0 for itself. */
  readonly difference: Summary;
};

export type Ranking = {
  readonly treatments: readonly RankedTreatment[];
  /** Standard deviations between groups, and `residual` for values. */
  readonly spreads: readonly (Summary & { readonly name: string; readonly prior: SdPrior })[];
  readonly meanPrior: MeanPrior;
  readonly how: {
    readonly method: string;
    readonly nodes: number;
    readonly points: number;
    readonly efficiency: number;
  };
};

const mergeRows = (input: RankingInput, kept: readonly number[]) => {
  const first = new Map<string, number>();
  const rows: number[] = [];
  const into = kept.map((i) => {
    const key = [input.treatment.codes[i], ...input.groups.map(({ codes }) => codes[i])].join();
    const at = first.get(key) ?? rows.push(i) - 1;
    first.set(key, at);
    return at;
  });
  return { rows, into };
};

type Built = {
  readonly h: Hierarchy;
  readonly names: readonly string[];
  readonly prior: MeanPrior;
};

type Parts = {
  /** Rows of the model, and all rows that went into them. */
  readonly rows: readonly number[];
  readonly all: readonly number[];
  readonly response: Hierarchy['response'];
  readonly prior: MeanPrior;
  /** Of the weak priors of spreads. */
  readonly scale: number;
};

const build = (input: RankingInput, { rows, all, response, prior, scale }: Parts): Built => {
  const { codes, levels, reference } = input.treatment;
  const usedCodes = all.map((i) => codes[i]);
  const at = checkTreatments(usedCodes, levels, reference);
  const terms = usedTerms(input.groups, rows);
  const names = [...terms.map(({ name }) => name), ...(response.residual ? ['residual'] : [])];
  const count = levels.length;
  return {
    names,
    prior,
    h: {
      treatments: count,
      treatment: Int32Array.from(rows, (i) => codes[i]),
      terms,
      response,
      centre: new Float64Array(count).fill(prior.centre),
      precision: meanPrecision({ codes: usedCodes, count }, at, prior),
      spreads: names.map((name) => input.spreads?.[name] ?? { kind: 'exponential', mean: scale }),
    },
  };
};

/** Counts: rows alike in treatment and groups are added up, which leaves the likelihood as it is. */
const countModel = (
  input: RankingInput,
  counts: { successes: ArrayLike<number>; trials: ArrayLike<number> },
) => {
  const kept = usableRows(counts);
  const { rows, into } = mergeRows(input, kept);
  const y = new Float64Array(rows.length);
  const n = new Float64Array(rows.length);
  const successes = pick(counts.successes, kept);
  const trials = pick(counts.trials, kept);
  into.forEach((at, i) => {
    y[at] += successes[i];
    n[at] += trials[i];
  });
  const prior = { difference: 2.5, overall: 5, centre: 0 };
  return build(input, { rows, all: kept, response: countResponse(y, n), prior, scale: 1 });
};

const valueModel = (input: RankingInput, y: ArrayLike<number>) => {
  const rows = Array.from(y, (_, i) => i);
  const bad = rows.find((i) => !Number.isFinite(y[i]));
  if (bad !== undefined) throw new ModelError(`row ${bad}: needs a number; got ${y[bad]}`);
  const mean = rows.reduce((sum, i) => sum + y[i] / rows.length, 0);
  const square = rows.reduce((sum, i) => sum + (y[i] - mean) ** 2, 0);
  const scale = Math.sqrt(square / Math.max(1, rows.length - 1));
  if (!(scale > 1e-12 * Math.abs(mean))) throw new ModelError('all values are alike');
  const prior = { difference: 2.5 * scale, overall: 5 * scale, centre: mean };
  return build(input, {
    rows,
    all: rows,
    response: normalResponse(Float64Array.from(y)),
    prior,
    scale,
  });
};

type Chances = {
  readonly best: Float64Array;
  readonly beats: readonly number[];
  readonly worthwhile: readonly number[];
  readonly rank: readonly number[];
};

const logistic = (x: number): number => 1 / (1 + Math.exp(-x));

type Columns = readonly Float64Array[];

const columnsOf = ({ treatments, means, weights }: PosteriorPoints): Columns =>
  Array.from({ length: treatments }, (_, t) => {
    const column = new Float64Array(weights.length);
    for (let i = 0; i < column.length; i++) column[i] = means[i * treatments + t];
    return column;
  });

/** Weight of the points at which `first` lies below `second`. */
const below = (first: Float64Array, second: Float64Array, weights: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < weights.length; i++) if (first[i] < second[i]) sum += weights[i];
  return sum;
};

/** Chance of each column to be the lowest. */
const lowest = (columns: Columns, weights: Float64Array): Float64Array => {
  const chance = new Float64Array(columns.length);
  for (let i = 0; i < weights.length; i++) {
    let top = 0;
    for (let t = 1; t < columns.length; t++) if (columns[t][i] < columns[top][i]) top = t;
    chance[top] += weights[i];
  }
  return chance;
};

/** `columns` are of the scale on which a difference is weighed, turned so that lower is better. */
const chances = (
  columns: Columns,
  weights: Float64Array,
  reference: number,
  worthHaving: number,
): Chances => {
  const control = columns[reference];
  const bound = control.map((value) => value - worthHaving * Math.abs(value));
  const beats = columns.map((column) => below(column, control, weights));
  const worthwhile = columns.map((column) => below(column, bound, weights));
  worthwhile[reference] = 0;
  const rank = columns.map(() => 1);
  columns.forEach((column, t) => {
    for (let other = 0; other < t; other++) {
      const first = below(columns[other], column, weights);
      rank[t] += first;
      rank[other] += 1 - first;
    }
  });
  return { best: lowest(columns, weights), beats, worthwhile, rank };
};

const clamp = (chance: number): number => Math.max(0, Math.min(1, chance));

/**
 * Chances, under a Bayesian hierarchical model, that each treatment is the best, better than the
 * control, and better by the smallest difference worth having. Random intercepts for the groups;
 * counts binomial with logit link, values normal. Weak priors (docs/methods.md): differences from
 * the control normal(0, 2.5), the mean over all rows normal(0, 5), standard deviations exponential
 * with mean 1; for values all times their standard deviation, the mean around theirs. Computed
 * without random numbers; see `posteriorPoints`.
 *
 * @throws ModelError when there is nothing to rank (one treatment, a treatment without values,
 * values all alike), or where no posterior is found.
 */
export const rankTreatments = (input: RankingInput): Ranking => {
  const { response, treatment } = input;
  const { h, names, prior } =
    response.kind === 'counts' ? countModel(input, response) : valueModel(input, response.y);
  const points = posteriorPoints(h, input.effort);
  if (!points) throw new ModelError('the ranking did not find where its chances lie');
  const reference = treatment.levels.indexOf(treatment.reference);
  const { weights } = points;
  const means = columnsOf(points);
  const scaled = response.kind === 'counts' ? means.map((column) => column.map(logistic)) : means;
  const lower = input.better === 'lower';
  const turned = lower ? scaled : scaled.map((column) => column.map((value) => -value));
  const found = chances(turned, weights, reference, input.worthHaving);
  const control = means[reference];
  const total = found.best.reduce((sum, chance) => sum + clamp(chance), 0);
  return {
    treatments: treatment.levels.map((level, t) => ({
      level,
      best: clamp(found.best[t]) / total,
      beatsControl: clamp(found.beats[t]),
      beatsWorthwhile: clamp(found.worthwhile[t]),
      expectedRank: found.rank[t],
      mean: summarise(scaled[t], weights),
      difference: summarise(
        means[t].map((value, i) => value - control[i]),
        weights,
      ),
    })),
    spreads: names.map((name, k) => ({ name, prior: h.spreads[k], ...summariseSpread(points, k) })),
    meanPrior: prior,
    how: {
      method: 'nested Laplace on a grid of standard deviations, weighed points of the means',
      nodes: points.grid.nodes.length,
      points: points.weights.length,
      efficiency: points.efficiency,
    },
  };
};
