import { gapsBetween, hair, isCloser, middleOf, type Rect } from './rect';
import type { Slot } from './slots';

/** The direction in which the ground differs: from west to east, or from south to north. */
export type Along = 'east' | 'north';

/** Metres over which two plots of one block may lie apart and still lie together. */
export type Reach = number;

type Order = {
  readonly slots: readonly Slot[];
  readonly neighbours: readonly (readonly number[])[];
};

/** The ground between two plots that face each other. */
function between(a: Rect, b: Rect): Rect {
  const [x, y] = gapsBetween(a, b);
  const left = x < 0 ? Math.max(a.x, b.x) : Math.min(a.x + a.width, b.x + b.width);
  const low = y < 0 ? Math.max(a.y, b.y) : Math.min(a.y + a.height, b.y + b.height);
  return { x: left, y: low, width: Math.abs(x), height: Math.abs(y) };
}

/**
 * Who lies beside whom: facing each other over no more than `reach` metres with no other plot
 * between. Corners that touch do not make neighbours.
 */
export function neighboursIn(slots: readonly Slot[], reach: Reach): readonly (readonly number[])[] {
  const facing = slots.map((): number[] => []);
  const eastward = slots.map((_, i) => i).sort((i, j) => (slots[i]?.x ?? 0) - (slots[j]?.x ?? 0));
  eastward.forEach((i, at) => {
    const slot = slots[i];
    for (let next = at + 1; slot && next < eastward.length; next++) {
      const j = eastward[next] ?? 0;
      const other = slots[j];
      if (!other || other.x > slot.x + slot.width + reach + hair) break;
      const [x, y] = gapsBetween(slot, other);
      if (!((x < -hair && y <= reach + hair) || (y < -hair && x <= reach + hair))) continue;
      facing[i]?.push(j);
      facing[j]?.push(i);
    }
  });
  return facing.map((others, i) =>
    others.filter((j) => {
      const [a, b] = [slots[i], slots[j]];
      if (!a || !b) return false;
      const way = between(a, b);
      return !others.some((k) => k !== j && slots[k] && isCloser(slots[k], way));
    }),
  );
}

/**
 * Slots in bands across `along`, band after band; every other band backwards where `turns`, so
 * that the order never jumps.
 */
export function inBands(slots: readonly Slot[], along: Along, turns: boolean): readonly Slot[] {
  const [first, second] = along === 'east' ? (['x', 'y'] as const) : (['y', 'x'] as const);
  const side = along === 'east' ? 'width' : 'height';
  const sorted = slots
    .map((slot) => ({ slot, middle: middleOf(slot) }))
    .sort((a, b) => a.middle[first] - b.middle[first] || a.middle[second] - b.middle[second]);
  const bands: (typeof sorted)[] = [];
  for (const one of sorted) {
    const band = bands.at(-1);
    const from = band?.[0];
    if (band && from && one.middle[first] - from.middle[first] <= from.slot[side] / 2) {
      band.push(one);
    } else bands.push([one]);
  }
  return bands.flatMap((band, i) => {
    const back = turns && i % 2 === 1 ? -1 : 1;
    return band
      .sort((a, b) => back * (a.middle[second] - b.middle[second]))
      .map(({ slot }) => slot);
  });
}

/**
 * Blocks of `perBlock` neighbouring slots, each grown from the first free slot by always taking the
 * earliest free neighbour. Stops at `most` blocks; pockets too small for a block stay empty.
 */
export function growBlocks(
  { slots, neighbours }: Order,
  perBlock: number,
  most: number,
): readonly (readonly number[])[] {
  const isTaken = new Array<boolean>(slots.length).fill(false);
  const blocks: number[][] = [];
  for (let seed = 0; seed < slots.length && blocks.length < most; seed++) {
    if (isTaken[seed]) continue;
    const block: number[] = [];
    const open = new Set([seed]);
    while (block.length < perBlock && open.size > 0) {
      const next = Math.min(...open);
      open.delete(next);
      isTaken[next] = true;
      block.push(next);
      for (const other of neighbours[next] ?? []) if (!isTaken[other]) open.add(other);
    }
    if (block.length === perBlock) blocks.push(block.sort((a, b) => a - b));
  }
  return blocks;
}

/** How far the middles of some slots lie apart, along each axis, metres. */
export function spreadOf(slots: readonly Slot[]): { readonly x: number; readonly y: number } {
  const middles = slots.map(middleOf);
  const span = (axis: 'x' | 'y'): number => {
    const all = middles.map((m) => m[axis]);
    return Math.max(...all) - Math.min(...all);
  };
  return { x: span('x'), y: span('y') };
}
