/** Values nearer than this share of the largest are one value: what is smaller is rounding. */
const ALIKE = 1e-12;

export type Ranks = {
  /** Rank of each value, 1 for the lowest; values that tie share the mean of their ranks. */
  readonly ranks: Float64Array;
  /** Sum over groups of tied values of (size^3 - size): what ties take from a rank statistic. */
  readonly tieTerm: number;
};

/**
 * Mid-ranks. Neighbours in order that differ by less than 1e-12 of the largest absolute value tie,
 * so that 0.1 + 0.2 and 0.3 do.
 */
export function midRanks(values: ArrayLike<number>): Ranks {
  const n = values.length;
  let largest = 0;
  for (let i = 0; i < n; i++) largest = Math.max(largest, Math.abs(values[i]));
  const order = Array.from({ length: n }, (_, i) => i).sort((i, j) => values[i] - values[j]);
  const ranks = new Float64Array(n);
  let tieTerm = 0;
  for (let from = 0; from < n; ) {
    let to = from + 1;
    while (to < n && values[order[to]] - values[order[to - 1]] <= ALIKE * largest) to++;
    const size = to - from;
    for (let k = from; k < to; k++) ranks[order[k]] = (from + 1 + to) / 2;
    tieTerm += size ** 3 - size;
    from = to;
  }
  return { ranks, tieTerm };
}
