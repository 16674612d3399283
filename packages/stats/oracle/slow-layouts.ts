import type { LayoutSet } from '../src/exact/layout-set';

// A slow road of its own for the exact tests: every layout as labels, F by least squares on a design
// matrix, nothing shared with what it checks.

export const blocksOf = (treatments: number, blocks: number): LayoutSet => ({
  kind: 'strata',
  strata: Array.from({ length: blocks }, (_, s) =>
    Array.from({ length: treatments }, (_, i) => s * treatments + i),
  ),
});

export const cycle = (treatments: number, blocks: number): Uint8Array =>
  Uint8Array.from({ length: treatments * blocks }, (_, i) => i % treatments);

export const layoutsOf = (set: LayoutSet, labels: Uint8Array): Uint8Array[] => {
  if (set.kind !== 'strata') throw new Error('strata only');
  const found = new Map<string, Uint8Array>();
  const orders = (rest: readonly number[]): number[][] =>
    rest.length === 0
      ? [[]]
      : rest.flatMap((x, i) => orders(rest.filter((_, j) => j !== i)).map((tail) => [x, ...tail]));
  const fillIn = (s: number, layout: Uint8Array): void => {
    if (s === set.strata.length) {
      found.set(layout.join(), layout.slice());
      return;
    }
    const positions = set.strata[s];
    for (const order of orders(positions.map((p) => labels[p]))) {
      positions.forEach((p, i) => (layout[p] = order[i]));
      fillIn(s + 1, layout);
    }
  };
  fillIn(0, labels.slice());
  return [...found.values()];
};

const residualOf = (columns: number[][], y: readonly number[]): number[] =>
  residualsOn(columns, y).e;

const residualSs = (columns: number[][], y: readonly number[]): { ss: number; rank: number } => {
  const { e, rank } = residualsOn(columns, y);
  return { ss: e.reduce((s, x) => s + x * x, 0), rank };
};

const residualsOn = (columns: number[][], y: readonly number[]): { e: number[]; rank: number } => {
  const basis: number[][] = [];
  const clean = (v: number[]): number[] =>
    [0, 1].reduce(
      (w) =>
        basis.reduce((x, u) => {
          const dot = x.reduce((s, xi, i) => s + xi * u[i], 0);
          return x.map((xi, i) => xi - dot * u[i]);
        }, w),
      v,
    );
  for (const column of columns) {
    const w = clean(column);
    const size = Math.hypot(...w);
    if (size > 1e-8) basis.push(w.map((x) => x / size));
  }
  return { e: clean([...y]), rank: basis.length };
};

export const slowF = (
  y: Float64Array,
  labels: ArrayLike<number>,
  k: number,
  factors: readonly ArrayLike<number>[],
): number => {
  const here = Array.from(y.keys()).filter((p) => !Number.isNaN(y[p]));
  const ys = here.map((p) => y[p]);
  const dummies = (codes: ArrayLike<number>, levels: number): number[][] =>
    Array.from({ length: levels }, (_, l) => here.map((p) => (codes[p] === l ? 1 : 0)));
  const blocks = [
    here.map(() => 1),
    ...factors.flatMap((f) => dummies(f, Math.max(...Array.from(f)) + 1)),
  ];
  const small = residualSs(blocks, ys);
  const large = residualSs([...blocks, ...dummies(labels, k)], ys);
  const df = large.rank - small.rank;
  const dfError = ys.length - large.rank;
  if (df <= 0 || dfError <= 0) return 0;
  if (large.ss <= 1e-13 * small.ss) return Infinity;
  return (small.ss - large.ss) / df / (large.ss / dfError);
};

export const slowShare = (values: readonly number[], drawn: number): number =>
  values.filter((v) => v >= drawn * (1 - 1e-7) - 1e-9).length / values.length;

export const strataFactor = (set: LayoutSet, n: number): Int32Array => {
  const codes = new Int32Array(n);
  if (set.kind === 'strata') set.strata.forEach((ps, s) => ps.forEach((p) => (codes[p] = s)));
  return codes;
};

export const latinSquares = (order: number): Uint8Array[] => {
  const out: Uint8Array[] = [];
  const square = new Uint8Array(order * order);
  const place = (p: number): void => {
    if (p === order * order) {
      out.push(square.slice());
      return;
    }
    const row = Math.floor(p / order);
    for (let l = 0; l < order; l++) {
      let free = true;
      for (let c = row * order; c < p && free; c++) free = square[c] !== l;
      for (let r = p - order; r >= 0 && free; r -= order) free = square[r] !== l;
      if (!free) continue;
      square[p] = l;
      place(p + 1);
    }
  };
  place(0);
  return out;
};

/** |least-squares difference from the control| / sqrt(variance factor), complete data, by the normal equations of a dummy design. */
export const slowScaled = (
  y: Float64Array,
  layout: Uint8Array,
  strata: readonly (readonly number[])[],
): number[] => {
  const n = y.length;
  const columns = [
    ...strata.map((s) => Array.from({ length: n }, (_, p) => (s.includes(p) ? 1 : 0))),
    ...[1, 2].map((l) => Array.from({ length: n }, (_, p) => (layout[p] === l ? 1 : 0))),
  ];
  const m = columns.length;
  const dot = (a: ArrayLike<number>, b: ArrayLike<number>) =>
    Array.from(a).reduce((s, x, i) => s + x * b[i], 0);
  // Gauss-Jordan on [X'X | X'y, I].
  const rows = columns.map((c, i) => [
    ...columns.map((d) => dot(c, d)),
    dot(c, y),
    ...columns.map((_, j) => (i === j ? 1 : 0)),
  ]);
  for (let i = 0; i < m; i++) {
    const pivot = rows[i][i];
    if (Math.abs(pivot) < 1e-9) throw new Error('singular');
    rows[i] = rows[i].map((x) => x / pivot);
    for (let j = 0; j < m; j++) {
      const factor = rows[j][i];
      if (j !== i) rows[j] = rows[j].map((x, at) => x - factor * rows[i][at]);
    }
  }
  return [m - 2, m - 1].map((i) => Math.abs(rows[i][m]) / Math.sqrt(rows[i][m + 1 + i]));
};

/** All labelings that exchanges of two labels, or of two whole lots of them, lead to from the drawn one. */
export const reachable = (
  labels: Uint8Array,
  exchanges: readonly (readonly [readonly number[], readonly number[]])[],
): Uint8Array[] => {
  const found = new Map([[labels.join(), labels.slice()]]);
  // A map visits what is added to it on the way.
  for (const layout of found.values())
    for (const [here, there] of exchanges) {
      const next = layout.slice();
      here.forEach((p, i) => {
        next[p] = layout[there[i]];
        next[there[i]] = layout[p];
      });
      if (!found.has(next.join())) found.set(next.join(), next);
    }
  return [...found.values()];
};

/** Every exchange of two places of one list. */
export const withinEach = (lists: readonly (readonly number[])[]): [number[], number[]][] =>
  lists.flatMap((list) =>
    list.flatMap((p, i) => list.slice(i + 1).map((q): [number[], number[]] => [[p], [q]])),
  );

/**
 * Least-squares differences from the control over the root of their variance factor and over the
 * root mean square of the values within blocks: by normal equations, lost plots left out.
 */
export const slowStatistics = (
  y: Float64Array,
  layout: ArrayLike<number>,
  { k, control, factors }: { k: number; control: number; factors: readonly ArrayLike<number>[] },
): number[] => {
  const here = Array.from(y.keys()).filter((p) => !Number.isNaN(y[p]));
  const dummies = (codes: ArrayLike<number>, levels: number): number[][] =>
    Array.from({ length: levels }, (_, l) => here.map((p) => (codes[p] === l ? 1 : 0)));
  const blocks = [
    here.map(() => 1),
    ...factors.flatMap((f) => dummies(f, Math.max(...Array.from(f)) + 1)),
  ];
  const ys = here.map((p) => y[p]);
  const { ss, rank } = residualSs(blocks, ys);
  const rest = (v: readonly number[]): number[] => residualOf(blocks, v);
  const x = dummies(layout, k)
    .filter((_, l) => l !== control)
    .map(rest);
  const dot = (a: readonly number[], b: readonly number[]) =>
    a.reduce((s, v, i) => s + v * b[i], 0);
  const m = x.length;
  const rows = x.map((c, i) => [
    ...x.map((d) => dot(c, d)),
    dot(c, rest(ys)),
    ...x.map((_, j) => (i === j ? 1 : 0)),
  ]);
  for (let i = 0; i < m; i++) {
    const pivot = rows[i][i];
    if (Math.abs(pivot) < 1e-9) throw new Error('singular');
    rows[i] = rows[i].map((v) => v / pivot);
    for (let j = 0; j < m; j++) {
      const factor = rows[j][i];
      if (j !== i) rows[j] = rows[j].map((v, at) => v - factor * rows[i][at]);
    }
  }
  const spread = Math.sqrt(ss / (here.length - rank));
  return rows.map((row, i) => row[m] / Math.sqrt(row[m + 1 + i]) / spread);
};
