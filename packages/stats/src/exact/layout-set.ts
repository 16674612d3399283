import type { Random } from '../random';

/**
 * The layouts a draw could have given. `trial` makes it from the design; the exact test walks it.
 * Plots have a fixed order; a layout is the list of their labels, 0 to k-1.
 */
export type LayoutSet =
  /** Labels change places freely within each stratum: completely randomised = one stratum, randomised blocks = one a block. */
  | { readonly kind: 'strata'; readonly strata: readonly (readonly number[])[] }
  /** count x n labels, row after row, every layout once, the drawn one among them. */
  | { readonly kind: 'list'; readonly labels: Uint8Array; readonly count: number }
  /** Too many to list and without strata: can only be drawn again, unless it is a split plot. */
  | {
      readonly kind: 'draw';
      readonly draw: (random: Random, out: Uint8Array) => void;
      readonly wholePlots?: WholePlots;
    };

/**
 * A split plot: for every group of whole plots that could have changed places (those of one block),
 * the plots of each whole plot, all of a group equally many. The labels that stand together in one
 * whole plot are its hand: hands change places within their group, labels within each whole plot.
 */
export type WholePlots = readonly (readonly (readonly number[])[])[];

/** n! */
export const factorial = (n: number): bigint => {
  let product = 1n;
  for (let i = 2; i <= n; i++) product *= BigInt(i);
  return product;
};

/** How often each label stands in each stratum: strata x k counts, row after row. */
export function stratumCounts(
  strata: readonly (readonly number[])[],
  labels: ArrayLike<number>,
  k: number,
): Int32Array {
  const counts = new Int32Array(strata.length * k);
  strata.forEach((positions, s) => {
    for (const p of positions) counts[s * k + labels[p]]++;
  });
  return counts;
}

/**
 * How many layouts the draw could have given; undefined where the set can only be sampled.
 * Strata: the product of their multinomial coefficients, so (t!)^b for randomised blocks.
 */
export function countLayouts(
  layouts: LayoutSet,
  labels: ArrayLike<number>,
  k: number,
): bigint | undefined {
  if (layouts.kind === 'list') return BigInt(layouts.count);
  if (layouts.kind === 'draw') return layouts.wholePlots && countSplit(layouts.wholePlots, labels);
  const counts = stratumCounts(layouts.strata, labels, k);
  return layouts.strata.reduce((product, positions, s) => {
    let ways = factorial(positions.length);
    for (let l = 0; l < k; l++) ways /= factorial(counts[s * k + l]);
    return product * ways;
  }, 1n);
}

/** Ways to put things in order of which some are alike. */
const orders = (kinds: readonly (string | number)[]): bigint => {
  const seen = new Map<string | number, number>();
  for (const kind of kinds) seen.set(kind, (seen.get(kind) ?? 0) + 1);
  return [...seen.values()].reduce((ways, r) => ways / factorial(r), factorial(kinds.length));
};

/** Layouts of a split plot: hands among whole plots, labels within each. */
const countSplit = (groups: WholePlots, labels: ArrayLike<number>): bigint =>
  groups.reduce((product, group) => {
    const hands = group.map((places) => places.map((p) => labels[p]).sort((a, b) => a - b));
    const within = hands.reduce((ways, hand) => ways * orders(hand), 1n);
    return product * within * orders(hands.map(String));
  }, 1n);

/**
 * Class of each label: labels of one class stand equally often in every stratum, so swapping
 * their names turns one possible layout into another.
 */
export function exchangeableClasses(counts: Int32Array, k: number): readonly number[] {
  const names = new Map<string, number>();
  return Array.from({ length: k }, (_, l) => {
    let key = '';
    for (let s = 0; s < counts.length / k; s++) key += `${counts[s * k + l]},`;
    const known = names.get(key) ?? names.size;
    names.set(key, known);
    return known;
  });
}

/** Number of ways to rename labels within their classes. */
function classOrder(classes: readonly number[]): bigint {
  const sizes = new Map<number, number>();
  for (const c of classes) sizes.set(c, (sizes.get(c) ?? 0) + 1);
  return [...sizes.values()].reduce((product, m) => product * factorial(m), 1n);
}

const listShare = (labels: Uint8Array, count: number, k: number): number => {
  const n = labels.length / count;
  const sizes = new Map<string, number>();
  const name = new Int8Array(k);
  const renamed = new Uint8Array(n);
  for (let row = 0; row < count; row++) {
    name.fill(-1);
    let next = 0;
    for (let p = 0; p < n; p++) {
      const l = labels[row * n + p];
      if (name[l] < 0) name[l] = next++;
      renamed[p] = name[l];
    }
    const key = String.fromCharCode(...renamed);
    sizes.set(key, (sizes.get(key) ?? 0) + 1);
  }
  return Math.min(...sizes.values()) / count;
};

/**
 * In pairs, exchanging both plots of every pair only turns the sign of every block-adjusted total:
 * a second layout of the same F, unless renaming already makes it (every label keeps one partner).
 */
const hasMirror = (strata: readonly (readonly number[])[], labels: ArrayLike<number>): boolean => {
  const partner = new Map<number, number>();
  let faithful = true;
  for (const positions of strata) {
    if (positions.length !== 2) return false;
    const [p, q] = positions;
    for (const [one, other] of [
      [labels[p], labels[q]],
      [labels[q], labels[p]],
    ]) {
      faithful &&= (partner.get(one) ?? other) === other;
      partner.set(one, other);
    }
  }
  return !faithful;
};

/**
 * Smallest p-value an enumerated F test of this set can give with no plot lost. Renaming
 * treatments leaves F as it is, so the drawn layout never stands alone: the smallest share is
 * (layouts that differ only by names) / (all layouts). Randomised blocks: k!/(k!)^b; one stratum
 * of k groups of r: k!/(n!/(r!)^k); only labels with the same number of plots in every stratum
 * are interchangeable. Incomplete blocks of two have a mirror image too, with blocks fitted. With lost plots it is a lower bound. Split plots:
 * see splitShare. Undefined for a set that is only drawn.
 */
export function smallestShare(
  layouts: LayoutSet,
  labels: ArrayLike<number>,
  k: number,
): number | undefined {
  if (layouts.kind === 'draw') return layouts.wholePlots && splitShare(layouts.wholePlots, labels);
  if (layouts.kind === 'list') return listShare(layouts.labels, layouts.count, k);
  const total = countLayouts(layouts, labels, k) ?? 1n;
  const counts = stratumCounts(layouts.strata, labels, k);
  const order =
    classOrder(exchangeableClasses(counts, k)) * (hasMirror(layouts.strata, labels) ? 2n : 1n);
  return shareOf(order, total);
}

/** One division of integers scaled to 60 bits keeps full double precision at any size. */
const shareOf = (order: bigint, total: bigint): number => {
  const shift = BigInt(Math.max(0, total.toString(2).length - order.toString(2).length + 60));
  const scaled = Number((order << shift) / total);
  return Math.min(1, scaled * 2 ** -Number(shift));
};

/**
 * Renamings that turn a split plot's layouts into one another: of hands that stand equally often in
 * every group, and of the treatments of each hand. One (a bound from below) where a treatment
 * stands in unlike hands or twice in one.
 */
const splitShare = (groups: WholePlots, labels: ArrayLike<number>): number => {
  const dealt = groups.map((group) =>
    group.map((places) =>
      places
        .map((p) => labels[p])
        .sort((a, b) => a - b)
        .join(),
    ),
  );
  const total = countSplit(groups, labels);
  const hands = [...new Set(dealt.flat())].map((name) => ({ name, held: name.split(',') }));
  const all = hands.flatMap(({ held }) => held);
  if (new Set(all).size !== all.length) return shareOf(1n, total);
  const alike = new Map<string, number>();
  let order = 1n;
  for (const { name, held } of hands) {
    const kind = [held.length, ...dealt.map((group) => group.filter((h) => h === name).length)];
    alike.set(kind.join(), (alike.get(kind.join()) ?? 0) + 1);
    order *= factorial(held.length);
  }
  for (const count of alike.values()) order *= factorial(count);
  return shareOf(order, total);
};
