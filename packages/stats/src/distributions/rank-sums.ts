import { requireCount } from './arguments';

/**
 * P(V <= v) for the signed-rank statistic of n untied pairs: the share of the 2^n sign patterns whose
 * positive ranks sum to at most v (Wilcoxon 1945), counted by the recurrence over ranks.
 * Probabilities rather than counts are carried, so n may be large.
 */
export function signedRankCdf(v: number, n: number): number {
  requireCount('pairs', n, 1);
  const most = (n * (n + 1)) / 2;
  const share = new Float64Array(most + 1);
  share[0] = 1;
  for (let rank = 1; rank <= n; rank++) {
    for (let s = most; s >= 0; s--) {
      share[s] = 0.5 * (share[s] + (s >= rank ? share[s - rank] : 0));
    }
  }
  return sumTo(share, v);
}

/**
 * P(W <= w) for the rank-sum statistic of m against n untied values: the number of pairs in which the
 * first sample is higher (Mann & Whitney 1947, Ann. Math. Stat. 18:50-60, recurrence (1)).
 */
export function rankSumCdf(w: number, m: number, n: number): number {
  requireCount('first sample', m, 1);
  requireCount('second sample', n, 1);
  // counts[i][u]: arrangements of i of the first sample among the values placed so far with statistic u.
  const counts = Array.from({ length: m + 1 }, () => new Float64Array(m * n + 1));
  counts[0][0] = 1;
  for (let placed = 1; placed <= m + n; placed++) {
    for (let i = Math.min(m, placed); i >= 1; i--) {
      const below = placed - i;
      if (below > n) continue;
      for (let u = m * n; u >= below; u--) counts[i][u] += counts[i - 1][u - below];
    }
  }
  const all = counts[m].reduce((a, b) => a + b, 0);
  return sumTo(counts[m], w) / all;
}

function sumTo(values: Float64Array, end: number): number {
  let sum = 0;
  for (let i = 0; i <= Math.min(Math.floor(end), values.length - 1); i++) sum += values[i];
  return sum;
}
