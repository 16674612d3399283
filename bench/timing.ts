/** One line of the table: our time beside a peer's, and the ratio that is asked for. */
export type Row = {
  readonly name: string;
  readonly oursMs: number;
  /** In the same run; null where the peer (R, or one of its packages) is missing, or there is none. */
  readonly peerMs: number | null;
  /** peerMs / oursMs: how many times faster we are. */
  readonly ratio: number | null;
  /** The ratio asked for; absent where a row is only for information. */
  readonly target?: number;
  /** The most milliseconds it may take, where the target is no ratio. */
  readonly mostMs?: number;
  /** Anything that belongs beside the figure, such as an accuracy. */
  readonly note?: string;
};

export const median = (times: readonly number[]): number =>
  [...times].sort((a, b) => a - b)[times.length >> 1];

/** Milliseconds of one call; what it returns is added to `kept`, so that no work can be skipped. */
function once(work: () => number, kept: { sum: number }): number {
  const start = performance.now();
  const got = work();
  const ms = performance.now() - start;
  kept.sum += got;
  return ms;
}

/**
 * Median milliseconds of several works, run in turn so that a busy moment falls on all of them.
 * `warm` rounds are run first and thrown away.
 */
export function alternately(
  works: readonly (() => number)[],
  { warm, rounds }: { readonly warm: number; readonly rounds: number },
): readonly number[] {
  const kept = { sum: 0 };
  const times: number[][] = works.map(() => []);
  for (let round = 0; round < warm + rounds; round++) {
    works.forEach((work, i) => {
      const ms = once(work, kept);
      if (round >= warm) times[i].push(ms);
    });
  }
  if (!Number.isFinite(kept.sum)) throw new Error('a timed work returned no number');
  return times.map(median);
}
