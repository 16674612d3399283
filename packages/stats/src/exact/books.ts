import { walkStrata } from './walk';

/**
 * What each arrangement of a stratum adds to the treatment totals, ready to be looked up: small
 * strata share a book (all their combinations). A layout is one row from every book plus `base`.
 */
export type Books = {
  /** Totals per row, an even number; those beyond the treatments are 0. */
  readonly width: number;
  readonly base: Float64Array;
  /** All books one after another, rows of `width`. */
  readonly tables: Float64Array;
  /** Where each book starts in `tables`. */
  readonly starts: Int32Array;
  readonly rows: Int32Array;
};

export type BookRequest = {
  readonly strata: readonly (readonly number[])[];
  readonly labels: ArrayLike<number>;
  readonly k: number;
  readonly values: Float64Array;
  /** Each label's total is multiplied by this. */
  readonly scale: Float64Array;
  /** Strata that keep their labels; they go into `base`. */
  readonly fixed: (stratum: number) => boolean;
};

const MERGED_ROWS = 1024;
const MOST_DOUBLES = 65_536;

const arrangements = (request: BookRequest, positions: readonly number[]): Float64Array[] => {
  const { labels, k, values, scale } = request;
  const inside = new Set(positions);
  const only = values.map((v, p) => (inside.has(p) ? v : 0));
  const rows: Float64Array[] = [];
  walkStrata({ strata: [positions], labels, k, values: only }, (_, sums) =>
    rows.push(sums.map((t, l) => t * scale[l])),
  );
  return rows;
};

const combine = (left: readonly Float64Array[], right: readonly Float64Array[]): Float64Array[] =>
  left.flatMap((l) => right.map((r) => l.map((x, i) => x + r[i])));

const arrangementCount = (request: BookRequest, positions: readonly number[]): number => {
  const used = new Float64Array(request.k);
  let count = 1;
  positions.forEach((p, i) => {
    used[request.labels[p]]++;
    count = (count * (i + 1)) / used[request.labels[p]];
  });
  return count;
};

/** Books for these strata; undefined where one stratum has too many arrangements to tabulate. */
export function createBooks(request: BookRequest): Books | undefined {
  const { strata, labels, k, values, scale } = request;
  const width = k <= 4 ? 4 : k <= 6 ? 6 : k + (k % 2);
  const base = new Float64Array(width);
  const books: Float64Array[][] = [];
  for (const [s, positions] of strata.entries()) {
    if (request.fixed(s)) {
      for (const p of positions) base[labels[p]] += values[p] * scale[labels[p]];
      continue;
    }
    const count = arrangementCount(request, positions);
    if (count * width > MOST_DOUBLES) return undefined;
    const rows = arrangements(request, positions);
    const last = books.at(-1);
    if (last !== undefined && last.length * rows.length <= MERGED_ROWS)
      books[books.length - 1] = combine(last, rows);
    else books.push(rows);
  }
  const starts = new Int32Array(books.length);
  books.forEach((_, b) => {
    if (b > 0) starts[b] = starts[b - 1] + books[b - 1].length * width;
  });
  const tables = new Float64Array(books.reduce((sum, book) => sum + book.length * width, 0));
  books.forEach((book, b) => book.forEach((row, i) => tables.set(row, starts[b] + i * width)));
  return { width, base, tables, starts, rows: Int32Array.from(books, (book) => book.length) };
}
