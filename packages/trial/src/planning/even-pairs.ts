import { createRandom, type Random } from '@fairbed/stats';

/** Blocks that can't hold every treatment: which treatments, 0 to v - 1, stand in which block. */
export type EvenPairs = {
  readonly blocks: readonly (readonly number[])[];
  /** Least and most blocks that any two treatments share. */
  readonly least: number;
  readonly most: number;
  /** Groups of treatments that no chain of blocks joins; 1 where all can be compared. */
  readonly parts: number;
};

type Sizes = { readonly treatments: number; readonly blocks: number; readonly perBlock: number };

/** The search does not hang on the draw's seed: one request has one plan, which the draw shuffles. */
const searchSeed = 1;
const restarts = 16;
const mostSteps = 400_000;

/** Each block takes the treatments with most plots still to place, ties by lot: always fits. */
function start({ treatments, blocks, perBlock }: Sizes, random: Random): number[][] {
  const plots = blocks * perBlock;
  const left = Array.from(
    { length: treatments },
    (_, t) => Math.floor(plots / treatments) + (t < plots % treatments ? 1 : 0),
  );
  return Array.from({ length: blocks }, () => {
    const order = left.map((_, t) => t);
    random.shuffle(order);
    order.sort((a, b) => (left[b] ?? 0) - (left[a] ?? 0));
    const block = order.slice(0, perBlock);
    for (const t of block) left[t] = (left[t] ?? 0) - 1;
    return block;
  });
}

/** In how many blocks any two treatments meet: v x v, both halves filled. */
function meetings(blocks: readonly (readonly number[])[], treatments: number): Int32Array {
  const met = new Int32Array(treatments * treatments);
  for (const block of blocks) {
    for (const a of block) {
      for (const b of block)
        if (a !== b) met[a * treatments + b] = (met[a * treatments + b] ?? 0) + 1;
    }
  }
  return met;
}

/** One treatment meets all others of a block once more (+1) or once less (-1); change of the sum of squares. */
function join(
  met: Int32Array,
  v: number,
  who: number,
  others: readonly number[],
  by: number,
): number {
  let change = 0;
  for (const other of others) {
    if (other === who) continue;
    const now = met[who * v + other] ?? 0;
    change += 2 * by * now + 1;
    met[who * v + other] = now + by;
    met[other * v + who] = now + by;
  }
  return change;
}

type Place = { readonly block: number[]; readonly at: number };

/** Exchanges the treatments of two places in different blocks; change of the sum of squares. */
function exchange(met: Int32Array, v: number, one: Place, two: Place): number {
  const a = one.block[one.at] ?? 0;
  const b = two.block[two.at] ?? 0;
  const left = join(met, v, a, one.block, -1) + join(met, v, b, two.block, -1);
  one.block[one.at] = b;
  two.block[two.at] = a;
  return left + join(met, v, b, one.block, 1) + join(met, v, a, two.block, 1);
}

/**
 * Exchanges at random, keeping those that make the pairs more even or, early on, not much less
 * (threshold accepting, Dueck & Scheuer 1990, J. Comput. Phys. 90:161; whole numbers only, so that
 * every machine finds the same plan).
 */
function improve(blocks: number[][], v: number, steps: number, random: Random): void {
  const met = meetings(blocks, v);
  for (let step = 0; step < steps; step++) {
    const one = blocks[random.below(blocks.length)] ?? [];
    const two = blocks[random.below(blocks.length)] ?? [];
    const from = { block: one, at: random.below(one.length) };
    const to = { block: two, at: random.below(two.length) };
    if (one.includes(two[to.at] ?? -1) || two.includes(one[from.at] ?? -1)) continue;
    const allowed = Math.floor(4 * (1 - (step + 1) / (0.8 * steps)));
    if (exchange(met, v, from, to) > Math.max(0, allowed)) exchange(met, v, from, to);
  }
}

function partsOf(met: Int32Array, v: number): number {
  const part = Array.from({ length: v }, (_, t) => t);
  for (let a = 0; a < v; a++) {
    for (let b = 0; b < v; b++) {
      const [from, to] = [part[b], part[a]];
      if ((met[a * v + b] ?? 0) === 0 || from === to) continue;
      part.forEach((p, t) => {
        if (p === from) part[t] = to ?? 0;
      });
    }
  }
  return new Set(part).size;
}

/**
 * Mean variance of a difference between two treatments, up to a factor that is the same for every
 * plan of one size: the trace of the inverse of C + J, C = diag(r) - N N' / k the information on
 * the treatments with blocks fitted (Shah & Sinha 1989, Theory of Optimal Designs, ch. 1).
 */
function meanVariance(blocks: readonly (readonly number[])[], met: Int32Array, v: number): number {
  const k = blocks[0]?.length ?? 1;
  const plots = new Float64Array(v);
  for (const block of blocks) for (const t of block) plots[t] = (plots[t] ?? 0) + 1;
  const c = Array.from({ length: v }, (_, a) =>
    Float64Array.from({ length: v }, (__, b) =>
      a === b ? (plots[a] ?? 0) * (1 - 1 / k) + 1 : 1 - (met[a * v + b] ?? 0) / k,
    ),
  );
  return traceOfInverse(c);
}

/** Gauss-Jordan in place on a symmetric positive definite matrix. */
function traceOfInverse(c: readonly Float64Array[]): number {
  const n = c.length;
  c.forEach((pivotRow, p) => {
    const pivot = pivotRow[p] ?? 0;
    pivotRow[p] = 1;
    for (let j = 0; j < n; j++) pivotRow[j] = (pivotRow[j] ?? 0) / pivot;
    c.forEach((row, i) => {
      if (i === p) return;
      const factor = row[p] ?? 0;
      row[p] = 0;
      for (let j = 0; j < n; j++) row[j] = (row[j] ?? 0) - factor * (pivotRow[j] ?? 0);
    });
  });
  return c.reduce((sum, row, i) => sum + (row[i] ?? 0), 0);
}

type Found = EvenPairs & { readonly rank: readonly [parts: number, squares: number, mean: number] };

function measured(blocks: readonly (readonly number[])[], v: number): Found {
  const met = meetings(blocks, v);
  const pairs: number[] = [];
  for (let a = 0; a < v; a++) for (let b = 0; b < a; b++) pairs.push(met[a * v + b] ?? 0);
  const parts = partsOf(met, v);
  const squares = pairs.reduce((sum, n) => sum + n * n, 0);
  // Unjoined plans have no finite variance, and are never taken where another is there.
  const mean = parts > 1 ? 0 : meanVariance(blocks, met, v);
  return {
    blocks,
    parts,
    least: Math.min(...pairs),
    most: Math.max(...pairs),
    rank: [parts, squares, mean],
  };
}

function isBetter(one: Found, other: Found): boolean {
  const at = one.rank.findIndex((value, i) => Math.abs(value - (other.rank[i] ?? 0)) > 1e-9);
  return at >= 0 && (one.rank[at] ?? 0) < (other.rank[at] ?? 0);
}

/**
 * Which treatments stand together in blocks that can't hold all: every treatment in as many plots
 * as every other, or one more; none twice in a block; and any two together in blocks as equally
 * often as the search finds. Of the plans tried, the one that joins all treatments, then with the
 * least sum of squares of the numbers of shared blocks (the (M,S) criterion, Eccleston & Hedayat
 * 1974, Ann. Statist. 2:1238), then with the least mean variance of a difference. Where all pairs
 * share equally many blocks it is a balanced incomplete block design and can't be bettered.
 * Wants 1 <= perBlock < treatments and at least as many plots as treatments.
 */
export function evenPairs(sizes: Sizes): EvenPairs {
  const key = `${sizes.treatments} ${sizes.blocks} ${sizes.perBlock}`;
  const plan = found.get(key) ?? search(sizes);
  found.set(key, plan);
  return plan;
}

// A tenth of a second each, asked for with every change of a plan, and always the same.
const found = new Map<string, EvenPairs>();

function search(sizes: Sizes): EvenPairs {
  const random = createRandom(searchSeed);
  const v = sizes.treatments;
  const steps = Math.min(Math.ceil(mostSteps / restarts), 300 * sizes.blocks * sizes.perBlock);
  let best: Found | undefined;
  for (let i = 0; i < restarts; i++) {
    const blocks = start(sizes, random);
    improve(blocks, v, steps, random);
    const plan = measured(blocks, v);
    if (best === undefined || isBetter(plan, best)) best = plan;
    if (best.parts === 1 && best.least === best.most) break;
  }
  const { blocks, least, most, parts } = best ?? measured(start(sizes, random), v);
  return { blocks, least, most, parts };
}
