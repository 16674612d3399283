import { chiSquareUpper } from '../distributions/gamma';
import type { RankTest } from './friedman';
import { midRanks } from './ranks';

/**
 * Kruskal and Wallis's test of groups without blocks, corrected for ties (Kruskal & Wallis 1952,
 * JASA 47:583-621, equations 1.1 and 1.2):
 *   H = (12 / (n (n + 1)) sum R_i^2 / n_i - 3 (n + 1)) / (1 - sum (t^3 - t) / (n^3 - n)),
 * chi-square on groups - 1. Groups without values are left out.
 */
export function kruskalWallis(groups: readonly ArrayLike<number>[]): RankTest {
  const filled = groups.filter((group) => group.length > 0);
  const n = filled.reduce((sum, group) => sum + group.length, 0);
  if (filled.length < 2 || n < 3) return { known: false, why: 'too-few' };
  const all = new Float64Array(n);
  let at = 0;
  for (const group of filled) {
    all.set(Array.from(group), at);
    at += group.length;
  }
  const { ranks, tieTerm } = midRanks(all);
  if (tieTerm === n ** 3 - n) return { known: false, why: 'all-tied' };
  // Sums about the mean rank: the same H, without a difference of two large numbers.
  let between = 0;
  at = 0;
  for (const group of filled) {
    let sum = 0;
    for (let i = 0; i < group.length; i++) sum += ranks[at++] - (n + 1) / 2;
    between += (sum * sum) / group.length;
  }
  const statistic = (12 * between) / (n * (n + 1)) / (1 - tieTerm / (n ** 3 - n));
  const df = filled.length - 1;
  return { known: true, statistic, df, p: chiSquareUpper(statistic, df) };
}
