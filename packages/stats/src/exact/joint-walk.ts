import { createRandom } from '../random';
import { type JointBooks, jointBooks } from './joint-books';
import type { JointMeasure, JointPlots } from './joint-measure';
import { countLayouts } from './layout-set';
import { redraw } from './sampling';
import { walkSplit } from './split-walk';
import { createStreams, fill } from './streams';
import { walkList, walkStrata } from './walk';

export type JointWalk = {
  readonly plots: JointPlots;
  readonly measure: JointMeasure;
  readonly seed: number;
  /** Layouts are all visited where there are no more than this. */
  readonly maxLayouts?: number | undefined;
  readonly draws?: number | undefined;
  readonly progress?: ((share: number) => void) | undefined;
};

export type JointWalked = {
  /** Layouts handed out. */
  readonly visits: number;
  readonly enumerated: boolean;
  /** Layouts the draw could have given; undefined where they can't be counted. */
  readonly total: bigint | undefined;
};

/** Takes `count` layouts of `width` statistics each; the array is used again. */
export type RowSink = (rows: Float64Array, count: number) => void;

/** Takes `count` layouts, each told by where its row of every book starts; the array is used again. */
export type PickSink = (picks: Int32Array, count: number) => void;

export type JointSink = {
  readonly rows: RowSink;
  /** For layouts that are sums of rows. */
  readonly picks: (books: JointBooks) => PickSink;
};

/** By tables of sums, and where each layout needs more work. */
const MAX_LAYOUTS = { tables: 3_000_000, labels: 250_000 };
const DRAWS = { tables: 1_000_000, labels: 100_000 };

/** Layouts handed on together, at most. */
export const CHUNK = 512;

/** Gathers layouts until there are enough to hand on. */
const gather = (measure: JointMeasure, sink: RowSink) => {
  const { width } = measure;
  const rows = new Float64Array(CHUNK * width);
  let count = 0;
  let visits = 0;
  const flush = (): void => {
    if (count > 0) sink(rows, count);
    visits += count;
    count = 0;
  };
  return {
    add: (labels: ArrayLike<number>): void => {
      measure.write(labels, rows, count * width);
      if (++count === CHUNK) flush();
    },
    end: (): number => {
      flush();
      return visits;
    },
  };
};

/** All layouts, the row of the last book changing fastest. */
const pickAll = ({ width, starts, rows }: JointBooks, sink: PickSink): number => {
  const books = rows.length;
  const now = starts.slice();
  const ends = starts.map((start, b) => start + rows[b] * width);
  const picks = new Int32Array(CHUNK * books);
  let count = 0;
  let visits = 0;
  for (let b = 0; b >= 0; ) {
    picks.set(now, count * books);
    if (++count === CHUNK) {
      sink(picks, count);
      visits += count;
      count = 0;
    }
    for (b = books - 1; b >= 0; b--) {
      now[b] += width;
      if (now[b] < ends[b]) break;
      now[b] = starts[b];
    }
  }
  if (count > 0) sink(picks, count);
  return visits + count;
};

/**
 * Random layouts: of every book the row floor(r * rows / 2^32), r uniform on 32 bits, so that no
 * row's chance is off by more than rows / 2^32 of itself.
 */
const pickSome = (walk: JointWalk, books: JointBooks, sink: PickSink): number => {
  const { width, starts, rows } = books;
  const draws = walk.draws ?? DRAWS.tables;
  const streams = createStreams(createRandom(walk.seed));
  const share = Float64Array.from(rows, (n) => n * 2 ** -32);
  const drawn = new Uint32Array(CHUNK * rows.length);
  const picks = new Int32Array(drawn.length);
  for (let done = 0; done < draws; done += CHUNK) {
    const count = Math.min(CHUNK, draws - done);
    fill(streams, 0, count * rows.length, drawn);
    for (let next = 0; next < count * rows.length; )
      for (let b = 0; b < share.length; b++, next++)
        picks[next] = starts[b] + ((drawn[next] * share[b]) | 0) * width;
    sink(picks, count);
    walk.progress?.((done + count) / draws);
  }
  return draws;
};

const drawLabels = (walk: JointWalk, sink: RowSink): number => {
  const { plots, measure, progress } = walk;
  const draws = walk.draws ?? DRAWS.labels;
  const next = redraw({ ...plots, random: createRandom(walk.seed) });
  const { add, end } = gather(measure, sink);
  for (let draw = 1; draw <= draws; draw++) {
    add(next());
    if (draw % CHUNK === 0) progress?.(draw / draws);
  }
  return end();
};

const walkLabels = ({ plots, measure }: JointWalk, sink: RowSink): number => {
  const { layouts, labels, treatments } = plots;
  const { add, end } = gather(measure, sink);
  if (layouts.kind === 'list') walkList(layouts.labels, layouts.count, add);
  else if (layouts.kind === 'draw') walkSplit(layouts.wholePlots ?? [], labels, add);
  else {
    const values = new Float64Array(labels.length);
    walkStrata({ strata: layouts.strata, labels, k: treatments, values }, add);
  }
  return end();
};

/** Adds up the rows of each layout, book after book. */
export function sumRows(
  { width, tables, rows }: JointBooks,
  picks: Int32Array,
  count: number,
  out: Float64Array,
): void {
  const books = rows.length;
  for (let next = 0, to = 0; next < count * books; next += books, to += width) {
    const first = picks[next];
    for (let i = 0; i < width; i++) out[to + i] = tables[first + i];
    for (let b = 1; b < books; b++) {
      const at = picks[next + b];
      for (let i = 0; i < width; i++) out[to + i] += tables[at + i];
    }
  }
}

/**
 * Hands out the statistics of every layout once where there are at most `maxLayouts` (3,000,000
 * where a layout is a sum of table rows, 250,000 where labels are gone through), the drawn one
 * among them; else of `draws` random ones (1,000,000; 100,000), without the drawn one. One pass;
 * memory does not grow with the number of layouts.
 */
export function walkJointly(walk: JointWalk, sink: JointSink): JointWalked {
  const { plots, measure } = walk;
  const { layouts, labels, treatments } = plots;
  const total = countLayouts(layouts, labels, treatments);
  const { parts, width } = measure;
  const books = parts && jointBooks({ layouts, labels, treatments, parts, width });
  const most = walk.maxLayouts ?? MAX_LAYOUTS[books === undefined ? 'labels' : 'tables'];
  const enumerated = total !== undefined && total <= BigInt(most);
  if (books === undefined) {
    const visits = (enumerated ? walkLabels : drawLabels)(walk, sink.rows);
    return { visits, enumerated, total };
  }
  const picks = sink.picks(books);
  const visits = enumerated ? pickAll(books, picks) : pickSome(walk, books, picks);
  return { visits, enumerated, total };
}
