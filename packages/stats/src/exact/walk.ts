import {
  type LayoutSet,
  countLayouts,
  exchangeableClasses,
  factorial,
  stratumCounts,
} from './layout-set';
import type { Renaming } from './tally';

/** What a walk over strata needs: the drawn labels, the strata and a value for every plot. */
export type StrataWalk = {
  readonly strata: readonly (readonly number[])[];
  readonly labels: ArrayLike<number>;
  readonly k: number;
  /** Added up per label on the way (n values); the visitor reads the sums. */
  readonly values: Float64Array;
  /**
   * Class of each label, where layouts that differ only by names within a class need one visit.
   * Every label of a class must stand in the first stratum.
   */
  readonly classes?: readonly number[];
};

/** The label before this one in its class, or -1: it must have been used first. */
const predecessors = (classes: readonly number[] | undefined, k: number): Int32Array => {
  const before = new Int32Array(k).fill(-1);
  const last = new Map<number, number>();
  for (let l = 0; classes !== undefined && l < k; l++) {
    before[l] = last.get(classes[l]) ?? -1;
    last.set(classes[l], l);
  }
  return before;
};

/**
 * Visits every layout of the strata once, depth first over the plots, with its labels and the
 * sums of `values` per label (both reused between visits). With `classes`, only the layout of
 * each family of renamings in which labels of a class first appear in ascending order within
 * the first stratum: exactly one in prod(m!) layouts, m the class sizes.
 */
export function walkStrata(
  walk: StrataWalk,
  visit: (labels: Uint8Array, sums: Float64Array) => void,
): void {
  const { strata, k, values } = walk;
  const labels = Uint8Array.from(walk.labels);
  const order = strata.flat();
  const row = strata.flatMap((positions, s) => positions.map(() => s * k));
  const left = new Int32Array(strata.length * k);
  order.forEach((p, i) => left[row[i] + labels[p]]++);
  const all = left.slice();
  const before = predecessors(walk.classes, k);
  const anchored = walk.classes === undefined ? 0 : (strata[0]?.length ?? 0);
  const sums = new Float64Array(k);
  const moving = new Set(order);
  labels.forEach((l, p) => {
    if (!moving.has(p)) sums[l] += values[p];
  });
  const tooEarly = (l: number): boolean =>
    before[l] >= 0 && left[l] === all[l] && left[before[l]] === all[before[l]];
  const place = (i: number): void => {
    if (i === order.length) {
      visit(labels, sums);
      return;
    }
    const p = order[i];
    const base = row[i];
    for (let l = 0; l < k; l++) {
      if (left[base + l] === 0 || (i < anchored && tooEarly(l))) continue;
      const kept = sums[l];
      left[base + l]--;
      labels[p] = l;
      sums[l] = kept + values[p];
      place(i + 1);
      sums[l] = kept;
      left[base + l]++;
    }
  };
  place(0);
}

/** Visits `count` layouts written row after row. */
export function walkList(
  rows: Uint8Array,
  count: number,
  visit: (labels: Uint8Array) => void,
): void {
  const n = rows.length / count;
  for (let i = 0; i < count; i++) visit(rows.subarray(i * n, (i + 1) * n));
}

/** How to walk a set with as few visits as renaming allows. */
export type Anchor = {
  /** Layouts one visit stands for. */
  readonly renaming: Renaming;
  /** The strata, one that holds every renamed label first. */
  readonly strata: readonly (readonly number[])[];
  readonly classes?: readonly number[];
  /** Layouts to visit; Infinity where the set can only be drawn. */
  readonly visits: number;
};

/**
 * Treatments whose labels stand equally often in every stratum can be renamed freely, and F does
 * not notice. One visit per family of renamings will do, where all treatments are alike in that
 * way or all but the control.
 */
export function chooseAnchor(
  layouts: LayoutSet,
  labels: ArrayLike<number>,
  k: number,
  control: number | undefined,
): Anchor {
  if (layouts.kind === 'draw') {
    const count = countLayouts(layouts, labels, k);
    return { renaming: 'none', strata: [], visits: count === undefined ? Infinity : Number(count) };
  }
  if (layouts.kind === 'list') return { renaming: 'none', strata: [], visits: layouts.count };
  const { strata } = layouts;
  const counts = stratumCounts(strata, labels, k);
  const classes = exchangeableClasses(counts, k);
  const every = Array.from({ length: k }, (_, l) => l);
  const others = every.filter((l) => l !== control);
  const alike = (wanted: readonly number[]): boolean =>
    wanted.every((l) => classes[l] === classes[wanted[0]]);
  const renaming = alike(every) ? 'all' : alike(others) ? 'others' : 'none';
  const first = strata.findIndex((_, s) => others.every((l) => counts[s * k + l] > 0));
  const total = Number(countLayouts(layouts, labels, k));
  if (renaming === 'none' || first < 0) return { renaming: 'none', strata, visits: total };
  const moved = [strata[first], ...strata.filter((_, s) => s !== first)];
  // The control, where it is not one of them, is a class of its own.
  const own = renaming === 'all' ? classes : classes.map((_, l) => (l === control ? 1 : 0));
  const family = Number(factorial(renaming === 'all' ? k : k - 1));
  return { renaming, strata: moved, classes: own, visits: total / family };
}
