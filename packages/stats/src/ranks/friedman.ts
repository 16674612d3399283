import { chiSquareUpper } from '../distributions/gamma';
import { midRanks } from './ranks';

/**
 * A rank test's answer, by its chi-square approximation; or why there is none: `too-few` blocks,
 * groups or values to compare, or `all-tied`.
 */
export type RankTest =
  | { readonly known: true; readonly statistic: number; readonly df: number; readonly p: number }
  | { readonly known: false; readonly why: 'too-few' | 'all-tied' };

/**
 * Friedman's test of treatments within blocks, corrected for ties (Friedman 1937, JASA 32:675-701;
 * ties as in Hollander & Wolfe 1973, section 7.1, equation 7.8):
 *   12 sum (R_j - b (k + 1) / 2)^2 / (b k (k + 1) - sum (t^3 - t) / (k - 1)),
 * chi-square on k - 1. The approximation is rough in few blocks; the exact test of the drawn layout
 * is better there.
 *
 * `blocks` has one row for each block, one value for each treatment; leave out incomplete blocks.
 *
 * @throws RangeError when the rows are not of one length.
 */
export function friedman(blocks: readonly ArrayLike<number>[]): RankTest {
  const b = blocks.length;
  const k = b > 0 ? blocks[0].length : 0;
  if (b < 1 || k < 2) return { known: false, why: 'too-few' };
  const sums = new Float64Array(k);
  let ties = 0;
  for (let i = 0; i < b; i++) {
    if (blocks[i].length !== k) {
      throw new RangeError(`every block must have ${k} values; block ${i} has ${blocks[i].length}`);
    }
    const { ranks, tieTerm } = midRanks(blocks[i]);
    for (let j = 0; j < k; j++) sums[j] += ranks[j];
    ties += tieTerm;
  }
  const scale = b * k * (k + 1) - ties / (k - 1);
  // All terms are whole or half numbers, so a block of ties throughout gives 0 to the bit.
  if (scale <= 0) return { known: false, why: 'all-tied' };
  let ss = 0;
  for (const sum of sums) ss += (sum - (b * (k + 1)) / 2) ** 2;
  const statistic = (12 * ss) / scale;
  return { known: true, statistic, df: k - 1, p: chiSquareUpper(statistic, k - 1) };
}
