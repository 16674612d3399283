import {
  countLayouts,
  exchangeableClasses,
  factorial,
  type LayoutSet,
  stratumCounts,
} from '../exact/layout-set';
import { walkSplit } from '../exact/split-walk';
import { walkList, walkStrata } from '../exact/walk';
import { createRandom, type Random } from '../random';

/**
 * The layouts that every look of a trial is held against: the same ones at each, so that a layout
 * has one course of statistics.
 */
export type ReferenceLayouts = {
  /** count x n labels, row after row. */
  readonly rows: Uint8Array;
  readonly count: number;
  /** Whether a row stands for all layouts that come of renaming the treatments but the control. */
  readonly renamed: boolean;
  /** The row that stands for the drawn layout, and how that row names each label of it. */
  readonly drawn: { readonly row: number; readonly names: Uint8Array };
  /** Whether all layouts of the set are there, else the drawn one and random others. */
  readonly enumerated: boolean;
};

export type ReferenceRequest = {
  readonly labels: Uint8Array;
  readonly layouts: LayoutSet;
  readonly treatments: number;
  readonly control: number;
  /** Most rows of a set that is taken whole. */
  readonly most: number;
  /** Random layouts beside the drawn one where the set is larger. */
  readonly draws: number;
  readonly seed: number;
};

/** Strata, one that holds every treatment but the control first, and the control apart. */
type Families = {
  readonly strata: readonly (readonly number[])[];
  readonly classes: readonly number[];
};

/** How to visit one layout of each family of renamings; undefined where renaming leads out of the set. */
function familiesOf({
  layouts,
  labels,
  treatments,
  control,
}: ReferenceRequest): Families | undefined {
  if (layouts.kind !== 'strata') return undefined;
  const { strata } = layouts;
  const counts = stratumCounts(strata, labels, treatments);
  const classes = exchangeableClasses(counts, treatments);
  const others = classes.filter((_, l) => l !== control);
  const first = strata.findIndex((_, s) =>
    classes.every((_, l) => l === control || counts[s * treatments + l] > 0),
  );
  if (first < 0 || others.some((c) => c !== others[0])) return undefined;
  return {
    strata: [strata[first], ...strata.filter((_, s) => s !== first)],
    classes: classes.map((_, l) => (l === control ? 1 : 0)),
  };
}

/** Names for the labels by which the others first appear in ascending order in the first stratum. */
function namesOf(
  { labels, treatments, control }: ReferenceRequest,
  families: Families | undefined,
) {
  const names = Uint8Array.from({ length: treatments }, (_, l) => l);
  if (families === undefined) return names;
  const free = Array.from(names).filter((l) => l !== control);
  const seen = new Set<number>([control]);
  for (const p of families.strata[0]) {
    if (seen.has(labels[p])) continue;
    seen.add(labels[p]);
    names[labels[p]] = free.shift() ?? labels[p];
  }
  return names;
}

function findRow(rows: Uint8Array, wanted: Uint8Array): number {
  const n = wanted.length;
  for (let row = 0; row * n < rows.length; row++) {
    let p = 0;
    while (p < n && rows[row * n + p] === wanted[p]) p++;
    if (p === n) return row;
  }
  throw new RangeError('labels must be one of the layouts; they are not');
}

function listAll(
  request: ReferenceRequest,
  families: Families | undefined,
  count: number,
): ReferenceLayouts {
  const { labels, layouts, treatments: k } = request;
  const n = labels.length;
  const rows = new Uint8Array(count * n);
  let at = 0;
  const keep = (row: Uint8Array): void => {
    rows.set(row, at);
    at += n;
  };
  const values = new Float64Array(n);
  if (families !== undefined) walkStrata({ ...families, labels, k, values }, keep);
  else if (layouts.kind === 'list') walkList(layouts.labels, layouts.count, keep);
  else if (layouts.kind === 'draw') walkSplit(layouts.wholePlots ?? [], labels, keep);
  else walkStrata({ strata: layouts.strata, labels, k, values }, keep);
  const names = namesOf(request, families);
  const row = findRow(
    rows,
    labels.map((l) => names[l]),
  );
  return { rows, count, renamed: families !== undefined, drawn: { row, names }, enumerated: true };
}

function shuffleAt(out: Uint8Array, positions: readonly number[], random: Random): void {
  for (let i = positions.length - 1; i > 0; i--) {
    const j = random.below(i + 1);
    const kept = out[positions[i]];
    out[positions[i]] = out[positions[j]];
    out[positions[j]] = kept;
  }
}

function drawOne(layouts: LayoutSet, out: Uint8Array, random: Random): void {
  const n = out.length;
  if (layouts.kind === 'draw') layouts.draw(random, out);
  else if (layouts.kind === 'strata') for (const s of layouts.strata) shuffleAt(out, s, random);
  else {
    const row = random.below(layouts.count);
    out.set(layouts.labels.subarray(row * n, (row + 1) * n));
  }
}

function drawSome(request: ReferenceRequest, renamed: boolean): ReferenceLayouts {
  const { labels, layouts, draws } = request;
  const n = labels.length;
  const random = createRandom(request.seed);
  const rows = new Uint8Array((1 + draws) * n);
  rows.set(labels);
  const out = labels.slice();
  for (let draw = 1; draw <= draws; draw++) {
    drawOne(layouts, out, random);
    rows.set(out, draw * n);
  }
  const names = namesOf(request, undefined);
  return { rows, count: 1 + draws, renamed, drawn: { row: 0, names }, enumerated: false };
}

/**
 * The layouts to hold all looks against: every one, or one of each family of renamings, where these
 * are at most `most`; else the drawn one and `draws` others at random, each standing for its family
 * where there are families. Which others depends on the seed alone and not on the scores, so that
 * they are the same at every look.
 *
 * @throws RangeError when the labels are no layout of a list.
 */
export function referenceLayouts(request: ReferenceRequest): ReferenceLayouts {
  const { layouts, labels, treatments, most } = request;
  const families = familiesOf(request);
  const all = countLayouts(layouts, labels, treatments);
  const rows =
    all === undefined ? Infinity : Number(all / (families ? factorial(treatments - 1) : 1n));
  return rows <= most
    ? listAll(request, families, rows)
    : drawSome(request, families !== undefined);
}
