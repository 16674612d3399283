import type { Random } from '../random';
import { type Books, createBooks } from './books';
import { countRelabelings, lookUpTotals } from './count-relabelings';
import { relabelingKernel } from './kernel';
import type { LayoutSet } from './layout-set';
import { createStreams, fill } from './streams';
import type { Renaming } from './tally';
import { type LayoutScore, totalsScorer } from './totals-fit';

type Add = (score: LayoutScore) => void;

type SampleRequest = {
  readonly labels: ArrayLike<number>;
  readonly layouts: LayoutSet;
  readonly k: number;
  readonly draws: number;
  readonly random: Random;
  readonly progress: ((share: number) => void) | undefined;
  readonly control: number | undefined;
  readonly add: Add;
};

/** Draws between two reports of progress, four streams together. */
const PART = 20_000;

/** Layouts drawn again and fitted one by one: for lost plots and sets without tables. */
export function sampleScores(
  request: SampleRequest & {
    readonly score: (labels: ArrayLike<number>) => LayoutScore;
  },
): void {
  const { draws, score, add, progress } = request;
  const next = redraw(request);
  const every = Math.ceil(draws / 100);
  for (let draw = 1; draw <= draws; draw++) {
    add(score(next()));
    if (draw % every === 0) progress?.(draw / draws);
  }
}

const shuffleStrata = (
  labels: Uint8Array,
  strata: readonly (readonly number[])[],
  random: Random,
): void => {
  for (const positions of strata)
    for (let i = positions.length - 1; i > 0; i--) {
      const j = Math.floor(random.next() * 2 ** -32 * (i + 1));
      const kept = labels[positions[i]];
      labels[positions[i]] = labels[positions[j]];
      labels[positions[j]] = kept;
    }
};

/** A layout drawn again with every call; the array is used again. */
export const redraw = ({
  labels,
  layouts,
  random,
}: Pick<SampleRequest, 'labels' | 'layouts' | 'random'>): (() => Uint8Array) => {
  const out = Uint8Array.from(labels);
  if (layouts.kind === 'draw')
    return () => {
      layouts.draw(random, out);
      return out;
    };
  if (layouts.kind === 'strata')
    return () => {
      shuffleStrata(out, layouts.strata, random);
      return out;
    };
  const n = out.length;
  return () => {
    const row = Math.floor(random.next() * 2 ** -32 * layouts.count);
    return layouts.labels.subarray(row * n, (row + 1) * n);
  };
};

/**
 * Complete, orthogonal strata: F by the counting kernel (its first stratum held fixed where any
 * renaming of the treatments is again a layout, which leaves the distribution of F as it is), the
 * comparisons by draws of their own. Undefined where a stratum is too large for tables.
 */
export function sampleTotals(
  request: SampleRequest & {
    readonly strata: readonly (readonly number[])[];
    readonly values: Float64Array;
    readonly extreme: number;
    /** Renamings of the treatments that are layouts again: what a draw for the comparisons stands for. */
    readonly renaming: Renaming;
    /** Draws for the comparisons, at most as many as for F. */
    readonly comparisons: number;
  },
): { readonly hits: number; readonly visits: number } | undefined {
  const { strata, labels, k, values, random, progress } = request;
  const sizes = new Float64Array(k);
  for (let p = 0; p < labels.length; p++) sizes[labels[p]]++;
  const scale = sizes.map((r) => 1 / Math.sqrt(r));
  const table = { strata, labels, k, values };
  const fixed = (s: number): boolean => request.renaming === 'all' && s === 0 && strata.length > 1;
  const forF = createBooks({ ...table, scale, fixed });
  const forAll = createBooks({ ...table, scale: new Float64Array(k).fill(1), fixed: () => false });
  if (forF === undefined || forAll === undefined) return undefined;
  const count = relabelingKernel() ?? countRelabelings;
  const streams = createStreams(random);
  const parts = Math.ceil(request.draws / PART);
  const perPart = Math.ceil(request.draws / 4 / parts);
  const add = totalsAdder(request, forAll);
  const perPartAll = Math.ceil(request.comparisons / parts);
  let hits = 0;
  for (let part = 1; part <= parts; part++) {
    hits += count(forF, streams, perPart, request.extreme);
    add(perPartAll);
    progress?.(part / parts);
  }
  return { hits, visits: 4 * perPart * parts };
}

const CHUNK = 1024;

const totalsAdder = (
  { labels, k, control, random, add, renaming }: SampleRequest & { readonly renaming: Renaming },
  books: Books,
): ((draws: number) => void) => {
  const score = totalsScorer(labels, k, renaming === 'all' ? undefined : (control ?? 0));
  const streams = createStreams(random);
  const drawn = new Uint32Array(CHUNK * books.rows.length);
  const totals = new Float64Array(CHUNK * k);
  return (draws) => {
    for (let done = 0; done < draws; done += CHUNK) {
      const now = Math.min(CHUNK, draws - done);
      const picks = drawn.subarray(0, now * books.rows.length);
      fill(streams, 0, picks.length, picks);
      lookUpTotals(books, k, picks, totals);
      for (let draw = 0; draw < now; draw++) add(score(totals, draw * k));
    }
  };
};
