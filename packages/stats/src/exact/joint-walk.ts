import { createRandom } from '../random';
import type { Books } from './books';
import { rowShares } from './count-relabelings';
import { jointBooks } from './joint-books';
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

/** `count` layouts, `stride` numbers each; the array is used again. */
export type JointSink = (rows: Float64Array, count: number, stride: number) => void;

/** By tables of sums, and where each layout needs more work. */
const MAX_LAYOUTS = { tables: 3_000_000, labels: 250_000 };
const DRAWS = { tables: 1_000_000, labels: 100_000 };
const CHUNK = 512;

/** Gathers layouts until there are enough to hand on. */
const gather = (measure: JointMeasure, sink: JointSink) => {
  const { width } = measure;
  const rows = new Float64Array(CHUNK * width);
  let count = 0;
  let visits = 0;
  const flush = (): void => {
    if (count > 0) sink(rows, count, width);
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

/** All layouts as sums of one row of every book, the last book innermost. */
const walkBooks = (books: Books, sink: JointSink): number => {
  const { width, base, tables, starts, rows } = books;
  const sums = [base, ...Array.from(rows, () => new Float64Array(width))];
  const last = rows.length - 1;
  const out = new Float64Array(CHUNK * width);
  let visits = 0;
  const leaf = (from: Float64Array): void => {
    const end = starts[last] + rows[last] * width;
    for (let at = starts[last]; at < end; ) {
      const to = Math.min(end, at + CHUNK * width);
      let cell = 0;
      for (; at < to; at += width)
        for (let i = 0; i < width; i++) out[cell++] = from[i] + tables[at + i];
      sink(out, cell / width, width);
      visits += cell / width;
    }
  };
  const descend = (b: number): void => {
    if (b === last) {
      leaf(sums[b]);
      return;
    }
    for (let row = 0; row < rows[b]; row++) {
      const at = starts[b] + row * width;
      for (let i = 0; i < width; i++) sums[b + 1][i] = sums[b][i] + tables[at + i];
      descend(b + 1);
    }
  };
  descend(0);
  return visits;
};

/** Statistics of the layouts that `drawn` picks, one number for each book and layout. */
export function sumRows(
  { width, base, tables, starts }: Books,
  share: Float64Array,
  drawn: Uint32Array,
  out: Float64Array,
): void {
  const count = share.length;
  for (let next = 0, to = 0; next < drawn.length; next += count, to += width) {
    const first = ((drawn[next] * share[0]) | 0) * width;
    for (let i = 0; i < width; i++) out[to + i] = base[i] + tables[first + i];
    for (let b = 1; b < count; b++) {
      const at = starts[b] + ((drawn[next + b] * share[b]) | 0) * width;
      for (let i = 0; i < width; i++) out[to + i] += tables[at + i];
    }
  }
}

const drawFromBooks = (walk: JointWalk, books: Books, sink: JointSink): number => {
  const draws = walk.draws ?? DRAWS.tables;
  const streams = createStreams(createRandom(walk.seed));
  const share = rowShares(books);
  const drawn = new Uint32Array(CHUNK * share.length);
  const out = new Float64Array(CHUNK * books.width);
  for (let done = 0; done < draws; done += CHUNK) {
    const now = Math.min(CHUNK, draws - done);
    const picks = drawn.subarray(0, now * share.length);
    fill(streams, 0, picks.length, picks);
    sumRows(books, share, picks, out);
    sink(out, now, books.width);
    walk.progress?.((done + now) / draws);
  }
  return draws;
};

const drawLabels = (walk: JointWalk, sink: JointSink): number => {
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

const walkLabels = ({ plots, measure }: JointWalk, sink: JointSink): number => {
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
  const by = enumerated
    ? books === undefined
      ? walkLabels(walk, sink)
      : walkBooks(books, sink)
    : books === undefined
      ? drawLabels(walk, sink)
      : drawFromBooks(walk, books, sink);
  return { visits: by, enumerated, total };
}
