import type { LayoutSet } from './layout-set';
import { walkSplit } from './split-walk';
import { walkStrata } from './walk';

/**
 * What each arrangement of a region adds to the statistics, small regions bound together in one
 * book: a layout is one row from every book.
 */
export type JointBooks = {
  /** Statistics in a row, an even number; those beyond the measure's are 0. */
  readonly width: number;
  /** All books one after another, rows of `width`. */
  readonly tables: Float64Array;
  /** Where each book starts in `tables`. */
  readonly starts: Int32Array;
  readonly rows: Int32Array;
};

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
 * Books of the statistics of a measure. Undefined where layouts have no regions, or one of them has
 * too many arrangements for a table.
 */
export function jointBooks(request: JointBookRequest): JointBooks | undefined {
  const regions = regionsWithWalks(request);
  if (regions.length === 0) return undefined;
  const books: Float64Array[][] = [];
  try {
    for (const region of regions) bind(books, rowsOf(request, region), request.width);
  } catch (error) {
    if (error instanceof TooManyRows) return undefined;
    throw error;
  }
  return printed(books, request.width, unmoved(request, regions));
}

/** What the plots outside all regions add, in every layout alike. */
const unmoved = (
  { labels, treatments, parts, width }: JointBookRequest,
  regions: readonly Region[],
): Float64Array => {
  const base = new Float64Array(width);
  const moving = new Set(regions.flatMap(({ places }) => places));
  labels.forEach((l, p) => {
    if (moving.has(p)) return;
    for (let i = 0; i < width; i++) base[i] += parts[(p * treatments + l) * width + i];
  });
  return base;
};

const printed = (
  books: readonly (readonly Float64Array[])[],
  narrow: number,
  base: Float64Array,
): JointBooks => {
  const width = narrow + (narrow % 2);
  const rows = Int32Array.from(books, (book) => book.length);
  const starts = new Int32Array(books.length);
  for (let b = 1; b < books.length; b++) starts[b] = starts[b - 1] + rows[b - 1] * width;
  const tables = new Float64Array(rows.reduce((sum, n) => sum + n, 0) * width);
  books.forEach((book, b) => {
    book.forEach((row, r) => {
      const at = starts[b] + r * width;
      tables.set(b === 0 ? row.map((x, i) => x + base[i]) : row, at);
    });
  });
  return { width, tables, starts, rows };
};
