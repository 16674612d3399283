import type { Books } from './books';
import type { LayoutSet } from './layout-set';
import { walkSplit } from './split-walk';
import { walkStrata } from './walk';

export type JointBookRequest = {
  readonly layouts: LayoutSet;
  readonly labels: Uint8Array;
  readonly treatments: number;
  /** What each plot adds under each label (JointMeasure.parts). */
  readonly parts: Float64Array;
  readonly width: number;
};

/** Rows of a merged book at most, and numbers in it: so that it stays near the processor. */
const MERGED_ROWS = 1024;
const MERGED_DOUBLES = 16_384;
/** Numbers in the book of one stratum at most (2 MB). */
const MOST_DOUBLES = 262_144;

type Region = {
  readonly places: readonly number[];
  readonly walk: (visit: (labels: Uint8Array) => void) => void;
};

const regionsWithWalks = ({ layouts, labels, treatments }: JointBookRequest): Region[] => {
  if (layouts.kind === 'strata') {
    const values = new Float64Array(labels.length);
    return layouts.strata.map((places) => ({
      places,
      walk: (visit) => walkStrata({ strata: [places], labels, k: treatments, values }, visit),
    }));
  }
  if (layouts.kind === 'draw' && layouts.wholePlots !== undefined)
    return layouts.wholePlots.map((group) => ({
      places: group.flat(),
      walk: (visit) => walkSplit([group], labels, visit),
    }));
  return [];
};

/** Thrown out of a walk that has become too long for a table. */
class TooManyRows extends Error {}

const rowsOf = (request: JointBookRequest, { places, walk }: Region): Float64Array[] => {
  const { parts, treatments, width } = request;
  const most = MOST_DOUBLES / width;
  const rows: Float64Array[] = [];
  walk((labels) => {
    if (rows.length >= most) throw new TooManyRows();
    const row = new Float64Array(width);
    for (const p of places) {
      const from = (p * treatments + labels[p]) * width;
      for (let i = 0; i < width; i++) row[i] += parts[from + i];
    }
    rows.push(row);
  });
  return rows;
};

const combine = (left: readonly Float64Array[], right: readonly Float64Array[]): Float64Array[] =>
  left.flatMap((l) => right.map((r) => l.map((x, i) => x + r[i])));

/** Adds a region's rows to the last book where both together stay small, else as a new one. */
const bind = (books: Float64Array[][], rows: Float64Array[], width: number): void => {
  const last = books.at(-1);
  const together = (last?.length ?? Infinity) * rows.length;
  if (last !== undefined && together <= MERGED_ROWS && together * width <= MERGED_DOUBLES)
    books[books.length - 1] = combine(last, rows);
  else books.push(rows);
};

/**
 * Books (see Books) of the statistics that each arrangement of a region adds, small regions bound
 * together: a layout is one row of every book. Undefined where layouts have no regions, or one of
 * them has too many arrangements for a table. `width` of the books is rounded up to an even number.
 */
export function jointBooks(request: JointBookRequest): Books | undefined {
  const regions = regionsWithWalks(request);
  if (regions.length === 0) return undefined;
  const books: Float64Array[][] = [];
  try {
    for (const region of regions) bind(books, rowsOf(request, region), request.width);
  } catch (error) {
    if (error instanceof TooManyRows) return undefined;
    throw error;
  }
  return printed(request, regions, books);
}

const printed = (
  { labels, treatments, parts, width: narrow }: JointBookRequest,
  regions: readonly Region[],
  books: readonly (readonly Float64Array[])[],
): Books => {
  const width = narrow + (narrow % 2);
  const base = new Float64Array(width);
  const moving = new Set(regions.flatMap(({ places }) => places));
  labels.forEach((l, p) => {
    if (moving.has(p)) return;
    for (let i = 0; i < narrow; i++) base[i] += parts[(p * treatments + l) * narrow + i];
  });
  const rows = Int32Array.from(books, (book) => book.length);
  const starts = new Int32Array(books.length);
  for (let b = 1; b < books.length; b++) starts[b] = starts[b - 1] + rows[b - 1] * width;
  const tables = new Float64Array(rows.reduce((sum, n) => sum + n, 0) * width);
  books.forEach((book, b) => {
    book.forEach((row, i) => tables.set(row, starts[b] + i * width));
  });
  return { width, base, tables, starts, rows };
};
