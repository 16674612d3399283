import type { FitRequest } from './fit-request';
import { type Along, growBlocks, inBands, neighboursIn, spreadOf } from './grow-blocks';
import { latinGrid } from './latin-grid';
import { middleOf } from './rect';
import { type Slot, slotsIn } from './slots';

/** What the beds hold: the plots of every block that fits, whether or not that is enough. */
export type Arrangement = { readonly slots: number; readonly blocks: readonly (readonly Slot[])[] };

type Choice = Arrangement & { readonly spread: readonly number[] };

const sum = (numbers: readonly number[]): number => numbers.reduce((so, n) => so + n, 0);

/** Less is better, in this order: blocks missing, spread along what differs, paths crossed, size. */
function spreadsOf(
  blocks: readonly (readonly Slot[])[],
  request: FitRequest,
  crossing: boolean,
): number[] {
  const spreads = blocks.map(spreadOf);
  const along =
    request.along === undefined
      ? 0
      : sum(spreads.map((s) => (request.along === 'east' ? s.x : s.y)));
  return [
    request.blocks - blocks.length,
    along,
    crossing ? 1 : 0,
    sum(spreads.map((s) => s.x + s.y)),
  ];
}

const isLess = (a: readonly number[], b: readonly number[]): boolean => {
  const at = a.findIndex((value, i) => Math.abs(value - (b[i] ?? 0)) > 1e-6);
  return at >= 0 && (a[at] ?? 0) < (b[at] ?? 0);
};

/** Blocks one after another the way the ground differs, or as they were grown. */
function inTurn(
  blocks: readonly (readonly Slot[])[],
  along: Along | undefined,
): readonly (readonly Slot[])[] {
  if (along === undefined) return blocks;
  const [first, second] = along === 'east' ? (['x', 'y'] as const) : (['y', 'x'] as const);
  const mean = (block: readonly Slot[], axis: 'x' | 'y'): number =>
    sum(block.map((slot) => middleOf(slot)[axis])) / block.length;
  return [...blocks].sort((a, b) => {
    const apart = mean(a, first) - mean(b, first);
    return Math.abs(apart) > 1e-6 ? apart : mean(a, second) - mean(b, second);
  });
}

/** The best of a few orders in which blocks can be grown, within beds and over narrow paths. */
function blocksIn(request: FitRequest): Arrangement {
  const { perBlock, plot, buffer } = request;
  const slots = slotsIn(request, request.blocks * perBlock);
  const stepped = Math.max(plot.width, plot.length, buffer);
  let best: Choice | undefined;
  for (const reach of [buffer, stepped]) {
    for (const way of ['east', 'north'] as const) {
      for (const turns of [true, false]) {
        const ordered = inBands(slots, way, turns);
        const order = { slots: ordered, neighbours: neighboursIn(ordered, reach) };
        const grown = growBlocks(order, perBlock, request.blocks);
        const blocks = grown.map((block) => block.flatMap((i) => ordered[i] ?? []));
        const spread = spreadsOf(blocks, request, reach > buffer);
        if (!best || isLess(spread, best.spread)) best = { slots: slots.length, blocks, spread };
      }
    }
  }
  const { blocks = [] } = best ?? {};
  return { slots: slots.length, blocks: inTurn(blocks, request.along) };
}

function latinIn(request: FitRequest): Arrangement {
  const order = request.blocks;
  const grid = latinGrid(request, order);
  if (!grid) return { slots: slotsIn(request, order * order).length, blocks: [] };
  const blocks = Array.from({ length: order }, (_, i) => grid.slice(i * order, (i + 1) * order));
  return { slots: grid.length, blocks };
}

/** Places for the plots of a request, or as many blocks as there are. */
export const arrange = (request: FitRequest): Arrangement =>
  request.latin ? latinIn(request) : blocksIn(request);

/** Does it fit? The request must have passed `askProblem`. */
export const doesFit = (request: FitRequest): boolean =>
  arrange(request).blocks.length === request.blocks;
