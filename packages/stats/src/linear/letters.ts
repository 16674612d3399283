/** Letter k: a..z, A..Z, then the same with a number from 2 on. */
function letterOf(k: number): string {
  const latin = 'abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ';
  const round = Math.floor(k / latin.length);
  return latin[k % latin.length] + (round === 0 ? '' : String(round + 1));
}

function isWithin(a: readonly boolean[], b: readonly boolean[]): boolean {
  return a.every((holds, i) => !holds || b[i]);
}

/** Drops every column that says no more than another one. */
function absorb(columns: readonly boolean[][]): boolean[][] {
  return columns.filter((column, i) =>
    columns.every(
      (other, j) => i === j || !isWithin(column, other) || (isWithin(other, column) && i < j),
    ),
  );
}

/** Splits every column that holds both i and j in two, one without each. */
function insert(columns: readonly boolean[][], i: number, j: number): boolean[][] {
  return columns.flatMap((column) =>
    column[i] && column[j] ? [column.with(i, false), column.with(j, false)] : [column],
  );
}

function byFirstMembers(a: readonly boolean[], b: readonly boolean[]): number {
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return a[i] ? -1 : 1;
  return 0;
}

/**
 * Compact letter display: two levels share a letter when, and only when, their difference is not
 * significant at `alpha`, by insert-and-absorb (Piepho 2004, Journal of Computational and Graphical
 * Statistics 13:456-466). The lowest mean carries `a` (with `lowestFirst` false, the highest).
 *
 * A shared letter says "not shown to differ", never "the same": show the differences with their
 * intervals first. A pair without p counts as not shown to differ. A level without a mean gets no
 * letters.
 *
 * `pairs` name levels by their place in `means`. Returns each level's letters.
 */
export function letters(input: {
  readonly means: readonly (number | undefined)[];
  readonly pairs: readonly {
    readonly a: number;
    readonly b: number;
    readonly p: number | undefined;
  }[];
  readonly alpha: number;
  readonly lowestFirst?: boolean;
}): string[] {
  const sign = input.lowestFirst === false ? -1 : 1;
  const order = input.means
    .flatMap((mean, level) => (mean === undefined ? [] : [{ mean, level }]))
    .sort((x, y) => sign * (x.mean - y.mean) || x.level - y.level);
  const rankOf = new Map(order.map(({ level }, rank) => [level, rank]));
  let columns: boolean[][] = [order.map(() => true)];
  for (const { a, b, p } of input.pairs) {
    const i = rankOf.get(a);
    const j = rankOf.get(b);
    if (i === undefined || j === undefined || p === undefined || p >= input.alpha) continue;
    columns = absorb(insert(columns, i, j));
  }
  columns.sort(byFirstMembers);
  return input.means.map((_, level) => {
    const rank = rankOf.get(level);
    if (rank === undefined) return '';
    return columns.map((column, k) => (column[rank] ? letterOf(k) : '')).join('');
  });
}
