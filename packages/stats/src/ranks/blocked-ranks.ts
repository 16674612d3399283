import type { RankTest } from './friedman';
import { midRanks } from './ranks';
import { placesByBlock, scoreTest } from './score-test';

/**
 * Rank of each value within its block, less the block's mean rank, over the block's size plus one:
 * between -1/2 and 1/2, and comparable between blocks of different size. These are the weights of
 * van Elteren (1960, Bull. Inst. Int. Statist. 37:351-361), the best ones against a shift that is
 * alike in all blocks (Lehmann 1975, Nonparametrics, section 3.3).
 */
export function blockedRankScores(
  values: ArrayLike<number>,
  block?: ArrayLike<number>,
): Float64Array {
  const scores = new Float64Array(values.length);
  for (const members of placesByBlock(values.length, block)) {
    const n = members.length;
    const { ranks } = midRanks(members.map((i) => values[i]));
    members.forEach((i, at) => (scores[i] = (ranks[at] - (n + 1) / 2) / (n + 1)));
  }
  return scores;
}

/**
 * Rank test of groups within blocks, ties and unequal numbers included. Two groups: van Elteren's
 * test. More: its generalisation by Prentice (1979, Biometrika 66:167-170). Each group once in
 * every block: Friedman's test. One block: Kruskal and Wallis's. Chi-square on groups - 1, fewer
 * where some groups never meet. `scores` are those of `blockedRankScores`.
 *
 * @throws RangeError for columns of different length or a group out of range.
 */
export function blockedRankTest(input: {
  readonly values: ArrayLike<number>;
  readonly group: ArrayLike<number>;
  readonly groups: number;
  readonly block?: ArrayLike<number>;
}): RankTest & { readonly scores: Float64Array; readonly excess: Float64Array } {
  const { values, group, groups, block } = input;
  const scores = blockedRankScores(values, block);
  return { scores, ...scoreTest({ scores, group, groups, block }) };
}
