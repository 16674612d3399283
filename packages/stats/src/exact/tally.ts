import type { LayoutScore } from './totals-fit';

/**
 * Which layouts one visited layout stands for: only itself; every renaming of the treatments
 * other than the control; every renaming of all treatments.
 */
export type Renaming = 'none' | 'others' | 'all';

export type TallyOptions = {
  readonly k: number;
  readonly control?: number;
  /** Value of the drawn layout, its slack for ties already taken off. */
  readonly extreme: number;
  /** k x k scaled absolute differences of the drawn layout, slack taken off. */
  readonly z: Float64Array;
  readonly renaming: Renaming;
};

/** Counts of layouts at least as extreme, as numerators over `visits` times a denominator. */
export type Tally = {
  readonly add: (score: LayoutScore) => void;
  readonly shares: () => TallyShares;
};

export type TallyShares = {
  readonly visits: number;
  /** Visited layouts with the test value at least as extreme. */
  readonly extreme: number;
  /** Per treatment (0 for the control): mean number per visit, so a share once divided by `visits`. */
  readonly single: Float64Array;
  /** Step-down maxima per treatment, before monotonicity is enforced. */
  readonly stepDown: Float64Array;
  /** Treatments other than the control, most extreme first. */
  readonly order: readonly number[];
  /** k x k: visits whose largest difference of any pair reaches that of this pair. */
  readonly pairs: Float64Array;
};

const choose = (n: number, r: number): number => {
  if (r < 0 || r > n) return 0;
  let c = 1;
  for (let i = 1; i <= r; i++) c = (c * (n - r + i)) / i;
  return Math.round(c);
};

type ControlCounts = { readonly single: Float64Array; readonly step: Float64Array };

/** One layout at a time: running maximum from the least to the most extreme (Westfall & Young 1993, algorithm 4.1). */
const plainCounter = (
  k: number,
  control: number,
  order: readonly number[],
  limits: Float64Array,
  counts: ControlCounts,
): ((score: LayoutScore) => void) => {
  const cells = Int32Array.from(order, (j) => j * k + control);
  return ({ z }) => {
    let top = -1;
    for (let i = cells.length - 1; i >= 0; i--) {
      const value = z[cells[i]];
      if (value > top) top = value;
      if (value >= limits[i]) counts.single[i]++;
      if (top >= limits[i]) counts.step[i]++;
    }
  };
};

/**
 * One visit stands for all renamings. Counts how often m of the K treatments reach the i-th limit
 * against a control. Over all renamings a given treatment then reaches it in m of K cases, and a
 * set of s treatments holds at least one that does in choose(K, s) - choose(K-m, s) of choose(K, s).
 */
const renamedCounter = (
  k: number,
  controls: readonly number[],
  limits: Float64Array,
  counts: ControlCounts,
): { readonly add: (score: LayoutScore) => void; readonly sum: () => void } => {
  const K = k - 1;
  const each = Int32Array.from(controls);
  const reached = new Uint32Array(K * k);
  const add = ({ z, top }: LayoutScore): void => {
    for (let i = 0; i < K; i++) {
      const limit = limits[i];
      if (top < limit) {
        reached[i * k] += each.length;
        continue;
      }
      for (const c of each) {
        // A sum of comparisons: which are true is chance, and branches on it would be slow.
        let m = 0;
        for (let at = c; at < z.length; at += k) m = (m + Number(z[at] >= limit)) | 0;
        // The control against itself is 0 and reaches only limits that everything reaches.
        reached[i * k + (limit <= 0 ? K : m)]++;
      }
    }
  };
  const sum = (): void => {
    counts.single.fill(0);
    counts.step.fill(0);
    for (let i = 0; i < K; i++)
      for (let m = 0; m <= K; m++) {
        counts.single[i] += m * reached[i * k + m];
        counts.step[i] += (choose(K, K - i) - choose(K - m, K - i)) * reached[i * k + m];
      }
  };
  return { add, sum };
};

/** Pair limits in ascending order and how many visits' maxima fall above each. */
const pairCounter = (k: number, z: Float64Array) => {
  const cells: number[] = [];
  for (let a = 1; a < k; a++) for (let b = 0; b < a; b++) cells.push(a * k + b);
  cells.sort((s, t) => z[s] - z[t]);
  const limits = Float64Array.from(cells, (cell) => z[cell]);
  const reached = new Float64Array(cells.length + 1);
  return {
    add: (top: number): void => {
      let low = 0;
      let high = limits.length;
      while (low < high) {
        const middle = (low + high) >> 1;
        if (limits[middle] > top) high = middle;
        else low = middle + 1;
      }
      reached[low]++;
    },
    table: (): Float64Array => {
      const out = new Float64Array(k * k);
      let above = 0;
      for (let i = cells.length - 1; i >= 0; i--) {
        above += reached[i + 1];
        const a = Math.floor(cells[i] / k);
        const b = cells[i] % k;
        out[a * k + b] = out[b * k + a] = above;
      }
      return out;
    },
  };
};

const orderByControl = (k: number, control: number | undefined, z: Float64Array): number[] =>
  control === undefined
    ? []
    : Array.from({ length: k }, (_, j) => j)
        .filter((j) => j !== control)
        .sort((a, b) => z[b * k + control] - z[a * k + control]);

/** Counts layouts for the F test, every comparison with the control, their step-down maxima and all pairs. */
export function createTally(options: TallyOptions): Tally {
  const { k, control, renaming } = options;
  const order = orderByControl(k, control, options.z);
  const limits = Float64Array.from(order, (j) => options.z[j * k + (control ?? 0)]);
  const counts = { single: new Float64Array(k), step: new Float64Array(k) };
  const controls = renaming === 'all' ? Array.from({ length: k }, (_, j) => j) : [control ?? 0];
  const renamed =
    control === undefined || renaming === 'none'
      ? undefined
      : renamedCounter(k, controls, limits, counts);
  const countControl =
    control === undefined
      ? undefined
      : (renamed?.add ?? plainCounter(k, control, order, limits, counts));
  const pairs = pairCounter(k, options.z);
  let visits = 0;
  let extreme = 0;
  const add = (score: LayoutScore): void => {
    visits++;
    if (score.extreme >= options.extreme) extreme++;
    pairs.add(score.top);
    countControl?.(score);
  };
  const shares = (): TallyShares => {
    const K = k - 1;
    renamed?.sum();
    const single = new Float64Array(k);
    const stepDown = new Float64Array(k);
    order.forEach((j, i) => {
      const plain = renaming === 'none';
      single[j] = counts.single[i] / (plain ? 1 : K * controls.length);
      stepDown[j] = counts.step[i] / (plain ? 1 : choose(K, K - i) * controls.length);
    });
    return { visits, extreme, single, stepDown, order, pairs: pairs.table() };
  };
  return { add, shares };
}
