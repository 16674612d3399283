/**
 * When something happened, known only between two looks: after `left` and no later than `right`.
 * Equal: exactly then. Right Infinity: not by `left`. Left -Infinity: before the first look.
 */
export type Between = {
  readonly left: ArrayLike<number>;
  readonly right: ArrayLike<number>;
};

/** After `from`, no later than `to`; at `to` exactly where `exact`. */
export type Cell = { readonly from: number; readonly to: number; readonly exact: boolean };

/** Of each value, the first and the last cell that its interval holds. */
export type Within = { readonly first: Int32Array; readonly last: Int32Array };

/** An end of an interval. At one day: an exact day begins, then intervals end, then others begin. */
type End = { readonly at: number; readonly kind: 0 | 1 | 2 };

const inOrder = (a: End, b: End): number => (a.at === b.at ? a.kind - b.kind : a.at - b.at);

const requireIntervals = ({ left, right }: Between): void => {
  if (left.length !== right.length) {
    throw new RangeError(
      `left and right must be of one length; got ${left.length} and ${right.length}`,
    );
  }
  for (let i = 0; i < left.length; i++) {
    if (left[i] <= right[i] && left[i] < Infinity) continue;
    throw new RangeError(
      `interval ${i} must begin no later than it ends; got ${left[i]} to ${right[i]}`,
    );
  }
};

/** Place of the first end not before `end`. */
function search(ends: readonly End[], end: End): number {
  let low = 0;
  let high = ends.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (inOrder(ends[middle], end) < 0) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * The innermost intersections of half-open intervals (left, right], and exact days: wherever a
 * beginning is followed at once by an end (Peto 1973, Appl. Statist. 22:86-91). Each interval
 * holds a run of them.
 */
export function cellsOf(between: Between): { readonly cells: Cell[]; readonly within: Within } {
  requireIntervals(between);
  const { left, right } = between;
  const n = left.length;
  const begin = (i: number): End => ({ at: left[i], kind: left[i] === right[i] ? 0 : 2 });
  const finish = (i: number): End => ({ at: right[i], kind: 1 });
  const all: End[] = [];
  for (let i = 0; i < n; i++) all.push(begin(i), finish(i));
  all.sort(inOrder);
  const ends = all.filter((end, i) => i === 0 || inOrder(all[i - 1], end) !== 0);
  const cells: Cell[] = [];
  /** Cells that begin before each end. */
  const before = new Int32Array(ends.length + 1);
  ends.forEach((end, e) => {
    before[e] = cells.length;
    const next = ends.at(e + 1);
    if (end.kind === 1 || next?.kind !== 1) return;
    cells.push({ from: end.at, to: next.at, exact: end.kind === 0 });
  });
  return {
    cells,
    within: {
      first: Int32Array.from({ length: n }, (_, i) => before[search(ends, begin(i))]),
      last: Int32Array.from({ length: n }, (_, i) => before[search(ends, finish(i))] - 1),
    },
  };
}
