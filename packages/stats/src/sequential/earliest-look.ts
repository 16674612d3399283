import { exchangeableClasses, factorial, type LayoutSet, stratumCounts } from '../exact/layout-set';

/**
 * The first planned look at which a trial can stop at all: where what may be spent reaches the
 * smallest p that the layout can give. Undefined where no look does: the layout is too small for
 * this error rate.
 *
 * @param smallestP Share of the layouts that the most extreme result stands for.
 * @param spent What may be spent by each planned look, in order (see alphaSpent).
 * @returns Place in `spent`, from 0.
 */
export function earliestLook(smallestP: number, spent: readonly number[]): number | undefined {
  // The counts behind both are whole numbers; a share may miss its fraction by a rounding.
  const found = spent.findIndex((share) => share >= smallestP * (1 - 1e-12));
  return found < 0 ? undefined : found;
}

/** Ways to give the plots of a stratum that `taken` labels leave to the other labels. */
function waysLeft(row: ArrayLike<number>, k: number, taken: readonly number[]): bigint {
  let plots = 0;
  let alike = 1n;
  for (let l = 0; l < k; l++) {
    if (taken.includes(l)) continue;
    plots += row[l];
    alike *= factorial(row[l]);
  }
  return factorial(plots) / alike;
}

/** few / all in double precision, whatever their size. */
function shareOf(few: bigint, all: bigint): number {
  const shift = BigInt(Math.max(0, all.toString(2).length - few.toString(2).length + 60));
  return Number((few << shift) / all) * 2 ** -Number(shift);
}

/** Every treatment spread over the strata in proportion: a difference then needs no adjusting. */
const isOrthogonal = (rows: readonly Int32Array[], k: number): boolean => {
  const total = Array.from({ length: k }, (_, l) => rows.reduce((sum, row) => sum + row[l], 0));
  const n = total.reduce((a, b) => a + b, 0);
  return rows.every((row) => {
    const size = row.reduce((a, b) => a + b, 0);
    return row.every((count, l) => count * n === size * total[l]);
  });
};

function strataShare(
  strata: readonly (readonly number[])[],
  labels: ArrayLike<number>,
  { k, control }: { readonly k: number; readonly control: number },
): number {
  const counts = stratumCounts(strata, labels, k);
  const rows = strata.map((_, s) => counts.subarray(s * k, (s + 1) * k));
  const classes = exchangeableClasses(counts, k);
  const total = rows.reduce((ways, row) => ways * waysLeft(row, k, []), 1n);
  const free = isOrthogonal(rows, k);
  const shares = classes.flatMap((_, j) => {
    if (j === control) return [];
    const alike = classes.filter((c, l) => l !== control && c === classes[j]).length;
    const mirrored = rows.every((row) => row[j] === row[control]) ? 2n : 1n;
    // Adjusted differences move with the places of all treatments; only names are then free.
    const same = free
      ? rows.reduce((ways, row) => ways * waysLeft(row, k, [j, control]), 1n)
      : factorial(alike - 1);
    return [shareOf(same * mirrored * BigInt(alike), total)];
  });
  return Math.min(1, ...shares);
}

/** Rows of a list in which the same plots hold the control and some other treatment, or the two changed about. */
function listShare(labels: Uint8Array, count: number, k: number, control: number): number {
  const n = labels.length / count;
  const sizes = new Map<string, number>();
  for (let row = 0; row < count; row++) {
    const own = labels.subarray(row * n, (row + 1) * n);
    const where = Array.from({ length: k }, (_, l) => {
      const plots: number[] = [];
      own.forEach((label, p) => {
        if (label === l) plots.push(p);
      });
      return plots.join();
    });
    const keys = new Set(
      where.flatMap((plots, l) =>
        l === control ? [] : [[plots, where[control]].sort().join('|')],
      ),
    );
    for (const key of keys) sizes.set(key, (sizes.get(key) ?? 0) + 1);
  }
  return Math.min(...sizes.values()) / count;
}

/**
 * Smallest p that the largest difference from the control can give with no plot lost and no ties in
 * the values: the layouts that leave one treatment and the control where they are, whatever the
 * others do, their two names changed about where both have as many plots everywhere, and the same
 * for every treatment that has as many plots. Complete blocks of k treatments in b blocks:
 * 2 (k - 1) / (k (k - 1))^b. A lower bound where blocks are incomplete or plots are lost. Undefined
 * for a set that can only be drawn.
 */
export function smallestDifferenceShare(
  layouts: LayoutSet,
  labels: ArrayLike<number>,
  of: { readonly treatments: number; readonly control: number },
): number | undefined {
  const { treatments: k, control } = of;
  if (layouts.kind === 'draw') return undefined;
  if (layouts.kind === 'list') return listShare(layouts.labels, layouts.count, k, control);
  return strataShare(layouts.strata, labels, { k, control });
}
