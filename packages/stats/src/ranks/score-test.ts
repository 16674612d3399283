import { chiSquareUpper } from '../distributions/gamma';
import { quadraticForm } from '../survival/quadratic-form';
import type { RankTest } from './friedman';

export type ScoreTestInput = {
  /** A score of each value, of any kind: what counts is how they add up by group. */
  readonly scores: ArrayLike<number>;
  /** Group of each value, 0 to groups - 1. */
  readonly group: ArrayLike<number>;
  readonly groups: number;
  /** Block of each value; left out, all values form one. */
  readonly block?: ArrayLike<number> | undefined;
};

/** Places of the values of each block. */
export function placesByBlock(n: number, block: ArrayLike<number> | undefined): number[][] {
  const blocks = new Map<number, number[]>();
  for (let i = 0; i < n; i++) {
    const key = block?.[i] ?? 0;
    const members = blocks.get(key);
    if (members) members.push(i);
    else blocks.set(key, [i]);
  }
  return [...blocks.values()];
}

const requireColumns = ({ scores, group, groups, block }: ScoreTestInput): void => {
  const n = scores.length;
  if (group.length !== n || (block && block.length !== n)) {
    throw new RangeError('scores, group and block must be of one length');
  }
  for (let i = 0; i < n; i++) {
    if (Number.isInteger(group[i]) && group[i] >= 0 && group[i] < groups) continue;
    throw new RangeError(`group must be 0 to ${groups - 1}; got ${group[i]} for value ${i}`);
  }
};

/**
 * Adds a block: what each group's scores come to beyond its share, and how that varies when the
 * groups change places within the block. False where all its scores are alike.
 */
function addBlock(
  { scores, group, groups }: ScoreTestInput,
  members: readonly number[],
  excess: Float64Array,
  variance: Float64Array,
): boolean {
  const n = members.length;
  const mean = members.reduce((sum, i) => sum + scores[i], 0) / n;
  const size = new Float64Array(groups);
  let squares = 0;
  let largest = 0;
  for (const i of members) {
    const d = scores[i] - mean;
    size[group[i]]++;
    excess[group[i]] += d;
    squares += d * d;
    largest = Math.max(largest, Math.abs(scores[i]));
  }
  // What is smaller than this is rounding: the scores of the block are one number.
  if (n < 2 || squares <= n * (1e-12 * largest) ** 2) return false;
  const spread = squares / (n - 1);
  for (let j = 0; j < groups; j++) {
    for (let k = 0; k < groups; k++) {
      variance[j * groups + k] += spread * ((j === k ? size[j] : 0) - (size[j] * size[k]) / n);
    }
  }
  return true;
}

/**
 * Test of any scores by group, within blocks: the sums of the groups less their shares of the
 * block, with the covariance that exchanging the groups within blocks gives them, as chi-square
 * (Fisher's permutation moments; Strasser & Weber 1999, Math. Methods Statist. 8:220-250, theorem
 * 2). Ranks give the tests of Wilcoxon, van Elteren, Kruskal and Wallis, and Friedman; log-rank
 * scores the log-rank test. Values must be what was drawn for one by one: plants of a plot are not.
 *
 * @throws RangeError for columns of different length or a group out of range.
 */
export function scoreTest(input: ScoreTestInput): RankTest & { readonly excess: Float64Array } {
  requireColumns(input);
  const { scores, groups, block } = input;
  const excess = new Float64Array(groups);
  const variance = new Float64Array(groups * groups);
  let spread = false;
  for (const members of placesByBlock(scores.length, block)) {
    if (addBlock(input, members, excess, variance)) spread = true;
  }
  if (!spread) return { excess, known: false, why: 'all-tied' };
  const { value, rank } = quadraticForm(excess.slice(), variance);
  if (rank === 0) return { excess, known: false, why: 'too-few' };
  return { excess, known: true, statistic: value, df: rank, p: chiSquareUpper(value, rank) };
}

/**
 * Scores brought together by plot, the unit that was drawn: their sum or their mean; NaN for a plot
 * without any. `plot` is each value's plot, 0 to plots - 1.
 */
export function scoresByPlot(
  scores: ArrayLike<number>,
  plot: ArrayLike<number>,
  plots: number,
  by: 'sum' | 'mean',
): Float64Array {
  const sum = new Float64Array(plots);
  const count = new Float64Array(plots);
  for (let i = 0; i < scores.length; i++) {
    sum[plot[i]] += scores[i];
    count[plot[i]]++;
  }
  return sum.map((s, p) => (count[p] === 0 ? Number.NaN : by === 'sum' ? s : s / count[p]));
}
