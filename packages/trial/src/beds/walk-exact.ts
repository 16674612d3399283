/** Distances between n places, row by row; `from[i]`: from where the walk starts to place i. */
export type Distances = {
  readonly n: number;
  readonly between: Float64Array;
  readonly from: Float64Array;
};

/** Length of an open walk in this order, the way to its first place included. */
export function lengthOf(order: ArrayLike<number>, { n, between, from }: Distances): number {
  let length = n > 0 ? (from[order[0] ?? 0] ?? 0) : 0;
  for (let i = 1; i < n; i++) length += between[(order[i - 1] ?? 0) * n + (order[i] ?? 0)] ?? 0;
  return length;
}

/**
 * The shortest open walk past up to 12 places or so, exactly: dynamic programming over the sets of
 * places passed (Held and Karp 1962, doi:10.1137/0110015), n^2 2^n steps. Among equally short walks
 * the earlier places come first.
 */
export function exactWalk({ n, between, from }: Distances): number[] {
  const sets = 1 << n;
  const best = new Float64Array(sets * n).fill(Infinity);
  const cameFrom = new Int8Array(sets * n).fill(-1);
  for (let i = 0; i < n; i++) best[(1 << i) * n + i] = from[i] ?? 0;
  for (let set = 1; set < sets; set++) {
    for (let last = 0; last < n; last++) {
      const length = best[set * n + last] ?? Infinity;
      if (length === Infinity) continue;
      for (let next = 0; next < n; next++) {
        if (set & (1 << next)) continue;
        const at = (set | (1 << next)) * n + next;
        const longer = length + (between[last * n + next] ?? 0);
        if (longer < (best[at] ?? Infinity)) {
          best[at] = longer;
          cameFrom[at] = last;
        }
      }
    }
  }
  let set = sets - 1;
  let last = 0;
  for (let i = 1; i < n; i++) {
    if ((best[set * n + i] ?? Infinity) < (best[set * n + last] ?? Infinity)) last = i;
  }
  const order: number[] = [];
  for (let left = n; left > 0; left--) {
    order.push(last);
    const before = cameFrom[set * n + last] ?? -1;
    set &= ~(1 << last);
    last = before;
  }
  return order.reverse();
}
