/**
 * What a layout scores in the test: its treatment sum of squares, the scaled absolute differences
 * (k x k) and the largest of them.
 */
export type LayoutScore = {
  readonly extreme: number;
  readonly z: Float64Array;
  readonly top: number;
};

/** Scores the k totals that start at `at` (0 unless told). */
export type TotalsScorer = (totals: Float64Array, at?: number) => LayoutScore;

/**
 * Scorer from the treatment totals of the block residuals alone, for complete data with every
 * treatment spread in proportion over the blocks: blocks and treatments are then orthogonal, F
 * rises with sum(total^2/n), and differences of means need no adjustment. The score is reused.
 * With `only`, and treatments of equal size, z holds the differences from that treatment alone.
 */
export function totalsScorer(labels: ArrayLike<number>, k: number, only?: number): TotalsScorer {
  const sizes = new Float64Array(k);
  for (let p = 0; p < labels.length; p++) sizes[labels[p]]++;
  return sizes.every((r) => r === sizes[0])
    ? equalScorer(k, sizes[0], only)
    : unequalScorer(k, sizes);
}

const equalScorer = (k: number, size: number, only: number | undefined): TotalsScorer => {
  const perTotal = 1 / Math.sqrt(2 * size);
  const from = only ?? 0;
  const to = only ?? k - 1;
  const score = { extreme: 0, z: new Float64Array(k * k), top: 0 };
  const { z } = score;
  return (totals, at = 0) => {
    let squares = 0;
    let low = totals[at];
    let high = low;
    for (let a = 0; a < k; a++) {
      const t = totals[at + a];
      squares += t * t;
      if (t < low) low = t;
      if (t > high) high = t;
    }
    for (let b = from; b <= to; b++) {
      const t = totals[at + b];
      for (let a = 0; a < k; a++) z[a * k + b] = Math.abs(totals[at + a] - t) * perTotal;
    }
    score.extreme = squares / size;
    score.top = (high - low) * perTotal;
    return score;
  };
};

const unequalScorer = (k: number, sizes: Float64Array): TotalsScorer => {
  const score = { extreme: 0, z: new Float64Array(k * k), top: 0 };
  return (totals, at = 0) => {
    let squares = 0;
    score.top = 0;
    for (let a = 0; a < k; a++) {
      const mean = totals[at + a] / sizes[a];
      squares += totals[at + a] * mean;
      for (let b = 0; b < a; b++) {
        const d =
          Math.abs(mean - totals[at + b] / sizes[b]) / Math.sqrt(1 / sizes[a] + 1 / sizes[b]);
        score.z[a * k + b] = score.z[b * k + a] = d;
        if (d > score.top) score.top = d;
      }
    }
    score.extreme = squares;
    return score;
  };
};
