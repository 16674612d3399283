import { type PairInterval, pairInterval } from '../exact/pair-interval';
import type { LayoutSet } from '../exact/layout-set';
import { createRandom } from '../random';
import type { LookAtPlots } from './layout-looks';

/**
 * Repeated intervals of treatment minus control, one a look, by exchanging the labels of the two
 * only: each holds with 1 less what its own look spends, so that all hold together with 1 less what
 * is spent in all (Bonferroni over the looks), whatever the effect was at the looks before. Exact as
 * the interval of a single look is, and wide: few exchanges give no ends at the small share of one
 * look, and the reason says so. Undefined where a look has no values.
 */
export function pairIntervalsOfLooks(request: {
  readonly looks: readonly LookAtPlots[];
  readonly labels: ArrayLike<number>;
  readonly layouts: LayoutSet;
  readonly treatment: number;
  readonly control: number;
  readonly seed: number;
}): readonly (PairInterval | undefined)[] {
  const { looks, seed, ...pair } = request;
  return looks.map(({ y, spent }, k) => {
    const alpha = spent - (looks[k - 1]?.spent ?? 0);
    return y && pairInterval({ ...pair, y, alpha, random: createRandom(seed) });
  });
}
