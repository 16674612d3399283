import type { Distances } from './walk-exact';

/** Shorter by less than this many metres is no shorter: else rounding could go round in circles. */
const worthwhile = 1e-9;
/** Longest run of places moved at once. */
const longestRun = 3;

/** From the nearest place to the nearest place not yet passed, beginning at `first`. */
export function nearestWalk(first: number, { n, between }: Distances): number[] {
  const order = [first];
  const isPassed = new Uint8Array(n);
  isPassed[first] = 1;
  for (let here = first; order.length < n; ) {
    let next = -1;
    for (let i = 0; i < n; i++) {
      const isNearer =
        next < 0 || (between[here * n + i] ?? 0) < (between[here * n + next] ?? 0) - worthwhile;
      if (!isPassed[i] && isNearer) next = i;
    }
    order.push(next);
    isPassed[next] = 1;
    here = next;
  }
  return order;
}

/** The step between two places of the walk; before its first: from the start; after its last: none. */
function step(a: number | undefined, b: number | undefined, distances: Distances): number {
  if (b === undefined) return 0;
  if (a === undefined) return distances.from[b] ?? 0;
  return distances.between[a * distances.n + b] ?? 0;
}

function turnStretch(order: number[], from: number, to: number): void {
  for (let a = from, b = to; a < b; a++, b--) {
    const swapped = order[a] ?? 0;
    order[a] = order[b] ?? 0;
    order[b] = swapped;
  }
}

/** 2-opt: turns a stretch of the walk round where that shortens it (Croes 1958). */
function turnRound(order: number[], distances: Distances): boolean {
  let isBetter = false;
  for (let i = 0; i < order.length - 1; i++) {
    const before = order[i - 1];
    let entry = step(before, order[i], distances);
    for (let k = i + 1; k < order.length; k++) {
      const last = order[k];
      const after = order[k + 1];
      const turned = step(before, last, distances) + step(order[i], after, distances);
      if (entry + step(last, after, distances) - turned <= worthwhile) continue;
      turnStretch(order, i, k);
      entry = step(before, order[i], distances);
      isBetter = true;
    }
  }
  return isBetter;
}

/** Or-opt: moves one to three places elsewhere, either way round (Or 1976). */
function moveRuns(order: number[], distances: Distances): boolean {
  let isBetter = false;
  for (let size = 1; size <= longestRun; size++) {
    for (let i = 0; i + size <= order.length; i++) {
      if (moveOne(order, i, size, distances)) isBetter = true;
    }
  }
  return isBetter;
}

/** Moves the run of `size` places at `i` to where it shortens the walk most. */
function moveOne(order: number[], i: number, size: number, distances: Distances): boolean {
  const first = order[i];
  const last = order[i + size - 1];
  const before = order[i - 1];
  const after = order[i + size];
  const freed =
    step(before, first, distances) + step(last, after, distances) - step(before, after, distances);
  if (freed <= worthwhile) return false;
  let most = worthwhile;
  let best: { readonly at: number; readonly turned: boolean } | undefined;
  // Place `at` counts in the walk without the run.
  for (let at = 0; at <= order.length - size; at++) {
    if (at === i) continue;
    const a = order[at - 1 < i ? at - 1 : at - 1 + size];
    const b = order[at < i ? at : at + size];
    const kept = freed + step(a, b, distances);
    const ahead = kept - step(a, first, distances) - step(last, b, distances);
    const turned = kept - step(a, last, distances) - step(first, b, distances);
    if (Math.max(ahead, turned) > most) {
      most = Math.max(ahead, turned);
      best = { at, turned: turned > ahead };
    }
  }
  if (!best) return false;
  const run = order.splice(i, size);
  order.splice(best.at, 0, ...(best.turned ? run.reverse() : run));
  return true;
}

/** Shortens a walk by 2-opt and Or-opt until neither finds anything more. Never longer than before. */
export function improvedWalk(walk: readonly number[], distances: Distances): number[] {
  const order = [...walk];
  let isBetter = true;
  while (isBetter) {
    isBetter = turnRound(order, distances);
    if (moveRuns(order, distances)) isBetter = true;
  }
  return order;
}
