import { createRandom } from '../random';
import { type BlockFit, fitBlocks, geometryOf } from './adjusted-fit';
import { balanceCheck } from './balance';
import type { LayoutSet } from './layout-set';
import { shuffleSplit } from './split-walk';

/** Several outcomes (or looks) of the same plots under the layouts of one draw. */
export type JointPlots = {
  /** Values of every plot, one list an outcome; NaN is a lost plot. */
  readonly values: readonly Float64Array[];
  /** The drawn treatment of every plot, 0 to treatments - 1. */
  readonly labels: Uint8Array;
  readonly layouts: LayoutSet;
  readonly treatments: number;
  readonly control: number;
  /** Block factors, codes per plot; left out: the strata, or the groups of whole plots. */
  readonly blocks?: readonly ArrayLike<number>[];
  /** Numbers known of each plot before treatment; a plot without one must be lost in `values`. */
  readonly covariates?: readonly ArrayLike<number>[];
};

/**
 * The statistics of one layout: for every outcome, and in it for every treatment but the control,
 * its difference from the control adjusted for blocks, over the square root of its variance factor
 * and over the outcome's spread. Outcome after outcome, treatments in ascending order, signed.
 */
export type JointMeasure = {
  readonly width: number;
  readonly write: (labels: ArrayLike<number>, out: Float64Array, at: number) => void;
  /** Of the drawn layout. */
  readonly observed: Float64Array;
  /** |observed| less the room for rounding within which a layout counts as a tie. */
  readonly limits: Float64Array;
  /**
   * Root mean square of each outcome's values within blocks, treatments not taken out. It does not
   * move with the labels. 0 where all values are alike within blocks.
   */
  readonly spreads: Float64Array;
  /**
   * Where the statistics are sums over plots: what plot p adds with label l, `width` numbers from
   * (p * treatments + l) * width on. Undefined where layouts need a fit each.
   */
  readonly parts: Float64Array | undefined;
};

/** Places among which labels move without leaving: strata, or groups of whole plots. */
export const regionsOf = (layouts: LayoutSet): readonly (readonly number[])[] | undefined => {
  if (layouts.kind === 'strata') return layouts.strata;
  if (layouts.kind === 'draw') return layouts.wholePlots?.map((group) => group.flat());
  return undefined;
};

/** The regions as a block factor; none where there is but one. */
export const regionCodes = (layouts: LayoutSet, n: number): Int32Array[] => {
  const regions = regionsOf(layouts) ?? [];
  if (regions.length < 2) return [];
  const codes = new Int32Array(n).fill(-1);
  regions.forEach((places, s) => {
    for (const p of places) codes[p] = s;
  });
  return [codes];
};

type Write = JointMeasure['write'];
type Outcome = {
  readonly fit: BlockFit;
  readonly spread: number;
  readonly write: Write;
  /** Others x treatments: statistics from label totals of block residuals, where that is all. */
  readonly weights: Float64Array | undefined;
};

const others = (k: number, control: number): number[] =>
  Array.from({ length: k }, (_, l) => l).filter((l) => l !== control);

/** Statistics as weights on the label totals, for layouts that share the drawn one's geometry. */
const totalWeights = (
  { treatments: k, control }: JointPlots,
  { fit, spread }: Pick<Outcome, 'fit' | 'spread'>,
  labels: ArrayLike<number>,
): Float64Array => {
  const { inverse, scale } = geometryOf(fit, labels, k);
  const weights = new Float64Array((k - 1) * k);
  others(k, control).forEach((j, i) => {
    const factor = spread > 0 ? scale[j * k + control] / spread : 0;
    for (let l = 0; l < k; l++)
      weights[i * k + l] = factor * (inverse[j * k + l] - inverse[control * k + l]);
  });
  return weights;
};

/** Statistics by weights on the label totals; the weights of a layout are asked for. */
const writeTotals = (
  { residual }: BlockFit,
  k: number,
  weightsOf: (labels: ArrayLike<number>) => Float64Array,
): Write => {
  const totals = new Float64Array(k);
  return (labels, out, at) => {
    const weights = weightsOf(labels);
    totals.fill(0);
    for (let p = 0; p < residual.length; p++) totals[labels[p]] += residual[p];
    for (let i = 0; i < k - 1; i++) {
      let sum = 0;
      for (let l = 0; l < k; l++) sum += weights[i * k + l] * totals[l];
      out[at + i] = sum;
    }
  };
};

/** Weights kept at most: with few lost plots there are few, whatever the number of layouts. */
const MOST_KEPT = 4096;

/**
 * Weights of any layout. Where labels stay in their blocks they hang on the labels of the lost
 * plots alone, and are worked out once for each set of those.
 */
const weightsOfAny = (
  plots: JointPlots,
  outcome: Pick<Outcome, 'fit' | 'spread'>,
  keep: boolean,
): ((labels: ArrayLike<number>) => Float64Array) => {
  const { fit } = outcome;
  const k = plots.treatments;
  const present = new Set(fit.present);
  const lost = Array.from({ length: fit.n }, (_, p) => p).filter((p) => !present.has(p));
  if (!keep || k ** lost.length > MOST_KEPT)
    return (labels) => totalWeights(plots, outcome, labels);
  const kept: (Float64Array | undefined)[] = [];
  return (labels) => {
    let key = 0;
    for (const p of lost) key = key * k + labels[p];
    return (kept[key] ??= totalWeights(plots, outcome, labels));
  };
};

/** Every layout has the same labels in each block. */
export const keepsBlocks = (layouts: LayoutSet, factors: readonly ArrayLike<number>[]): boolean => {
  const regions = regionsOf(layouts);
  return (
    regions !== undefined &&
    factors.every((factor) =>
      regions.every((places) => places.every((p) => factor[p] === factor[places[0]])),
    )
  );
};

type Ground = { readonly factors: readonly ArrayLike<number>[]; readonly keep: boolean };

const measureOutcome = (plots: JointPlots, y: Float64Array, ground: Ground): Outcome => {
  const { labels, treatments: k, covariates = [] } = plots;
  const { factors, keep } = ground;
  const fit = fitBlocks(y, factors, covariates);
  const df = fit.present.length - fit.rank;
  const spread = df > 0 && fit.ss > (fit.noise * 4) ** 2 ? Math.sqrt(fit.ss / df) : 0;
  const whole = fit.present.length === y.length && covariates.length === 0;
  const outcome = { fit, spread };
  const byFit = writeTotals(fit, k, weightsOfAny(plots, outcome, keep && covariates.length === 0));
  if (!whole) return { ...outcome, write: byFit, weights: undefined };
  const weights = totalWeights(plots, outcome, labels);
  const byTotals = writeTotals(fit, k, () => weights);
  if (keep) return { ...outcome, write: byTotals, weights };
  const balanced = balanceCheck(labels, k, factors);
  if (!balanced(labels)) return { ...outcome, write: byFit, weights: undefined };
  const write: Write = (row, out, at) => (balanced(row) ? byTotals : byFit)(row, out, at);
  return { ...outcome, write, weights: undefined };
};

/** Layouts from which the size of a split plot's statistics is taken. */
const PILOT = 4096;

/**
 * In a split plot differences across practices vary more than those within one, so each statistic
 * is also divided by its root mean square over layouts: 4,096 drawn from a seed of their own, hands
 * in an order of their own, so that it hangs on the set of layouts and not on which was drawn.
 */
const evenly = (plots: JointPlots, measure: JointMeasure): JointMeasure => {
  const { layouts, labels } = plots;
  if (layouts.kind !== 'draw' || layouts.wholePlots === undefined) return measure;
  const { width, write, observed, limits, parts } = measure;
  const draw = shuffleSplit(layouts.wholePlots, labels);
  const random = createRandom(PILOT);
  const layout = labels.slice();
  const row = new Float64Array(width);
  const squares = new Float64Array(width);
  for (let i = 0; i < PILOT; i++) {
    draw(random, layout);
    write(layout, row, 0);
    for (let c = 0; c < width; c++) squares[c] += row[c] * row[c];
  }
  const factors = squares.map((sum) => (sum > 0 ? Math.sqrt(PILOT / sum) : 0));
  const scaled = (from: Float64Array): Float64Array => from.map((x, i) => x * factors[i % width]);
  return {
    ...measure,
    write: (of, out, at) => {
      write(of, out, at);
      for (let c = 0; c < width; c++) out[at + c] *= factors[c];
    },
    observed: scaled(observed),
    limits: limits.map((x, i) => (factors[i] > 0 ? x * factors[i] : -1)),
    parts: parts && scaled(parts),
  };
};

/** What each plot adds under each label, all outcomes side by side. */
const partsOf = (plots: JointPlots, outcomes: readonly Outcome[]): Float64Array | undefined => {
  const { labels, treatments: k } = plots;
  const J = k - 1;
  const width = J * outcomes.length;
  const parts = new Float64Array(labels.length * k * width);
  for (const [o, { fit, weights }] of outcomes.entries()) {
    if (weights === undefined) return undefined;
    for (let p = 0; p < labels.length; p++)
      for (let l = 0; l < k; l++)
        for (let i = 0; i < J; i++)
          parts[(p * k + l) * width + o * J + i] = weights[i * k + l] * fit.residual[p];
  }
  return parts;
};

const check = ({ values, labels, treatments, control }: JointPlots): void => {
  if (values.length === 0) throw new RangeError('at least one outcome is needed; got none');
  for (const y of values)
    if (y.length !== labels.length)
      throw new RangeError(
        `labels and values must be equally many; got ${labels.length} and ${y.length}`,
      );
  const seen = new Set(labels);
  if (seen.size !== treatments || labels.some((l) => l >= treatments))
    throw new RangeError(`labels must be all of 0 to ${treatments - 1}; got ${[...seen].join()}`);
  if (!(control >= 0 && control < treatments))
    throw new RangeError(`control must be 0 to ${treatments - 1}; got ${control}`);
};

/**
 * Measures any layout by its differences from the control, all outcomes at once.
 *
 * What makes outcomes of different units comparable is the spread: the root mean square of the
 * values within blocks, treatments not taken out. It belongs to the values and stays when labels
 * move. In complete trials with equally many plots it gives every statistic of every outcome the
 * same mean square over the layouts (the permutation variance of a difference is its variance
 * factor times this mean square: Pitman 1938, Biometrika 29:322), so that no outcome fills the
 * maximum by its unit alone; within an outcome differences stay plain ones (README). In a split
 * plot each is divided by its own root mean square besides.
 *
 * @throws RangeError for labels, control or lengths that do not fit together.
 */
export function jointMeasure(plots: JointPlots): JointMeasure {
  check(plots);
  const { values, labels, layouts, treatments: k } = plots;
  const J = k - 1;
  const factors = plots.blocks ?? regionCodes(layouts, labels.length);
  const ground = { factors, keep: keepsBlocks(layouts, factors) };
  const outcomes = values.map((y) => measureOutcome(plots, y, ground));
  const width = J * outcomes.length;
  const write: Write = (row, out, at) => {
    for (let o = 0; o < outcomes.length; o++) outcomes[o].write(row, out, at + o * J);
  };
  const observed = new Float64Array(width);
  write(labels, observed, 0);
  const limits = observed.map((x, i) => {
    const { fit, spread } = outcomes[Math.floor(i / J)];
    const df = Math.max(1, fit.present.length - fit.rank);
    const rounding = spread > 0 ? fit.noise / spread : 0;
    return Math.abs(x) * (1 - 1e-9) - 1e-12 * Math.sqrt(df) - rounding;
  });
  const spreads = Float64Array.from(outcomes, ({ spread }) => spread);
  const parts = partsOf(plots, outcomes);
  return evenly(plots, { width, write, observed, limits, spreads, parts });
}

/** The same statistics with column i taken from column `order[i]`. */
export function inOrder(measure: JointMeasure, order: readonly number[]): JointMeasure {
  const { width, write, observed, limits, parts } = measure;
  const row = new Float64Array(width);
  const take = (from: Float64Array): Float64Array => Float64Array.from(order, (i) => from[i]);
  return {
    ...measure,
    write: (labels, out, at) => {
      write(labels, row, 0);
      for (let i = 0; i < width; i++) out[at + i] = row[order[i]];
    },
    observed: take(observed),
    limits: take(limits),
    parts: parts?.map((_, cell) => parts[cell - (cell % width) + order[cell % width]]),
  };
}
