import type { Problem } from '@fairbed/field';
import { createRandom, type LayoutSet, type Random } from '@fairbed/stats';
import { type DrawnPlot, layoutsAmong, outline } from './outline';
import type { LayoutRequest } from './request';

export type DrawnLayout =
  | { readonly ok: true; readonly plots: readonly DrawnPlot[] }
  | { readonly ok: false; readonly problem: Problem };

/** One layout of a set, each as likely as every other. */
function drawFrom(set: LayoutSet, labels: Uint8Array, random: Random): Uint8Array {
  const drawn = labels.slice();
  switch (set.kind) {
    case 'list': {
      const at = random.below(set.count) * drawn.length;
      return set.labels.slice(at, at + drawn.length);
    }
    case 'draw':
      set.draw(random, drawn);
      return drawn;
    case 'strata':
      for (const places of set.strata) {
        const hand = places.map((i) => labels[i] ?? 0);
        random.shuffle(hand);
        places.forEach((place, k) => {
          drawn[place] = hand[k] ?? 0;
        });
      }
      return drawn;
  }
}

/**
 * Incomplete blocks are drawn twice: first which treatment takes which part in the plan, and which
 * block gets which lot; then the places within each block, as in any blocks.
 */
function dealBlocks(
  request: LayoutRequest,
  plots: readonly DrawnPlot[],
  random: Random,
): DrawnPlot[] {
  const { treatments, control, controlPlots = 0, perBlock = 1 } = request;
  const dealt = controlPlots > 0 ? treatments.filter((id) => id !== control) : treatments;
  const names = [...dealt];
  random.shuffle(names);
  const renamed = new Map(dealt.map((id, i) => [id, names[i] ?? id]));
  const order = Array.from({ length: plots.length / perBlock }, (_, b) => b);
  random.shuffle(order);
  return plots.map((plot, i) => {
    const from = plots[(order[Math.floor(i / perBlock)] ?? 0) * perBlock + (i % perBlock)] ?? plot;
    return { ...plot, treatment: renamed.get(from.treatment) ?? from.treatment };
  });
}

/**
 * Draws a layout by lot: the same seed (a whole number from 0 to 2^32 - 1) always gives the same
 * one, and every layout of the design is equally likely. The plan is written out in order, the set
 * of its layouts is asked of `layoutsOf`, and one of that set is drawn: the set the exact test of
 * the finished trial walks.
 *
 * - Completely randomised, randomised blocks: any order of the plots, or of those of each block.
 * - Latin square: any square of its order up to 5; above, any reordering of the rows, columns and
 *   treatments of the cyclic square (one class of the squares of that order, not all of them).
 * - Split plot: whole plots dealt within blocks, then treatments within whole plots.
 * - Incomplete blocks: any renaming of the treatments and reordering of the blocks of `evenPairs`,
 *   then any order within blocks; the exact test walks the orders within blocks.
 *
 * Throws a RangeError for a seed that is no such number.
 */
export function drawLayout(request: LayoutRequest, seed: number): DrawnLayout {
  const random = createRandom(seed);
  const plan = outline(request);
  if ('code' in plan) return { ok: false, problem: plan };
  const dealt =
    request.kind === 'incomplete-blocks' ? dealBlocks(request, plan.plots, random) : plan.plots;
  const layouts = dealt === plan.plots ? plan.layouts : layoutsAmong(request, dealt);
  if (layouts === undefined) throw new Error('A plan in order has no layouts.');
  const labels = drawFrom(layouts.set, layouts.labels, random);
  return {
    ok: true,
    plots: dealt.map((plot, i) => ({
      ...plot,
      treatment: layouts.treatments[labels[i] ?? 0] ?? plot.treatment,
    })),
  };
}
