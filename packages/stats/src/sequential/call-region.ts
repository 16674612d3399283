/** What a look does to a reference set. */
export type Called = {
  /** Smallest statistic that is called at this look; undefined where none may be. */
  readonly bound: number | undefined;
  /** Members called at this look or before. */
  readonly called: number;
};

/**
 * The part of a reference set that has been called, look after look. At each look the members not
 * called before are put in order of their statistic, and as many of the largest are called as keep
 * all that are called within the share spent by then; members that tie (differ by no more than
 * `slack`) are called together or not at all. What one look leaves unspent the next may use.
 */
export type CallRegion = {
  readonly size: number;
  /** Begins a look: statistics of members called before become GONE, so that they can't be called again. */
  readonly mask: (statistics: Float64Array) => void;
  /** Members that were called at an earlier look or reach `statistic` at this one. */
  readonly hits: (statistics: Float64Array, statistic: number, slack: number) => number;
  /** Ends a look: calls what `spent` (0..1, of all looks so far) allows. */
  readonly call: (statistics: Float64Array, spent: number, slack: number) => Called;
  readonly called: () => number;
};

/** Below every statistic: they are absolute values. */
const GONE = -1;

/** Puts the element of rank `rank` (0 the largest) in its place and returns it; Hoare 1961, CACM 4:321. */
function select(values: Float64Array, rank: number): number {
  let low = 0;
  let high = values.length - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1];
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i] > pivot) i++;
      while (values[j] < pivot) j--;
      if (i <= j) {
        const kept = values[i];
        values[i++] = values[j];
        values[j--] = kept;
      }
    }
    if (rank <= j) high = j;
    else if (rank >= i) low = i;
    else return values[rank];
  }
  return values[rank];
}

const SAMPLE = 512;

/**
 * The value of rank `rank` (0 the largest). A small sample says from which value on it is enough to
 * look; where that was too high, all are gone through. `room` holds as many numbers as `values`.
 */
function valueOfRank(values: Float64Array, rank: number, room: Float64Array): number {
  if (values.length <= 4 * SAMPLE) {
    room.set(values);
    return select(room, rank);
  }
  const step = Math.ceil(values.length / SAMPLE);
  const sample = Float64Array.from(
    { length: Math.floor(values.length / step) },
    (_, i) => values[i * step],
  ).sort();
  const from = sample.length - 1 - Math.ceil((1.3 * rank) / step + 8);
  const least = from < 0 ? -Infinity : sample[from];
  let n = 0;
  for (let i = 0; i < values.length; i++) {
    room[n] = values[i];
    n += Number(values[i] >= least);
  }
  if (n > rank) return select(room.subarray(0, n), rank);
  room.set(values);
  return select(room, rank);
}

/** Room for rounding when a share is turned into a count: 0.05 of 20 is 1. */
const ROUNDING = 1e-9;

/** Members of `size` that a share allows. */
export const allowed = (size: number, share: number): number => Math.floor(share * size + ROUNDING);

/** A reference set of `size` members, none called yet. */
export function createCallRegion(size: number): CallRegion {
  const out = new Uint8Array(size);
  const room = new Float64Array(size);
  let called = 0;
  return {
    size,
    called: () => called,
    mask: (statistics) => {
      for (let i = 0; called > 0 && i < size; i++) if (out[i] === 1) statistics[i] = GONE;
    },
    hits: (statistics, statistic, slack) => {
      const limit = statistic - slack;
      let hits = 0;
      for (let i = 0; i < size; i++) hits = (hits + Number(statistics[i] >= limit)) | 0;
      // A limit that everything reaches reaches those that are gone, too.
      return limit <= GONE ? hits : hits + called;
    },
    call: (statistics, spent, slack) => {
      const free = allowed(size, spent) - called;
      if (free <= 0) return { bound: undefined, called };
      // The largest that there is no room for: all that tie with it stay out.
      const limit = free >= size - called ? GONE : valueOfRank(statistics, free, room) + slack;
      let bound = Infinity;
      for (let i = 0; i < size; i++) {
        if (!(statistics[i] > limit)) continue;
        out[i] = 1;
        called++;
        if (statistics[i] < bound) bound = statistics[i];
      }
      return { bound: bound === Infinity ? undefined : bound, called };
    },
  };
}
