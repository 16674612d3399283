import { layOut, lowerSlot, type SparseFactor, upperSlot } from './sparse';

/** A grouping with a random intercept: the group (0-based) of each row. */
export type GroupTerm = {
  readonly name: string;
  readonly codes: Int32Array;
  readonly size: number;
};

/** Where each row's groups stand in the curvature matrix. Term order is the caller's. */
export type GroupLayout = {
  readonly terms: readonly GroupTerm[];
  readonly rows: number;
  /** Node number of each row's group, term by term: nodes[k][row]. */
  readonly nodes: readonly Int32Array[];
  /** First node of each term. */
  readonly offsets: readonly number[];
  /** The two terms of each pair, and per row the slot of their entry above and below. */
  readonly pairs: readonly {
    readonly a: number;
    readonly b: number;
    readonly upper: Int32Array;
    readonly lower: Int32Array;
  }[];
  readonly factor: SparseFactor;
};

/**
 * Numbers the groups, the term with most groups first. For nested groups (plants in plots in
 * blocks) that is an elimination order without fill; for crossed ones a sensible order.
 */
export const layOutGroups = (terms: readonly GroupTerm[], rows: number): GroupLayout => {
  const order = terms.map((_, k) => k).sort((x, y) => terms[y].size - terms[x].size || x - y);
  const offsets = terms.map(() => 0);
  let size = 0;
  for (const k of order) {
    offsets[k] = size;
    size += terms[k].size;
  }
  const nodes = terms.map((term, k) => term.codes.map((code) => code + offsets[k]));
  const couples: [number, number][] = [];
  for (let a = 0; a < terms.length; a++) {
    for (let b = a + 1; b < terms.length; b++) couples.push([a, b]);
  }
  const factor = layOut(size, links(nodes, couples, rows));
  const slots = (a: number, b: number, slot: typeof upperSlot) =>
    Int32Array.from({ length: rows }, (_, i) => slot(factor, nodes[a][i], nodes[b][i]));
  const pairs = couples.map(([a, b]) => ({
    a,
    b,
    upper: slots(a, b, upperSlot),
    lower: slots(a, b, lowerSlot),
  }));
  return { terms, rows, nodes, offsets, pairs, factor };
};

function* links(
  nodes: readonly Int32Array[],
  couples: readonly (readonly [number, number])[],
  rows: number,
): Generator<readonly [number, number]> {
  for (const [a, b] of couples) {
    for (let i = 0; i < rows; i++) yield [nodes[a][i], nodes[b][i]];
  }
}

/** Fills the curvature matrix I + L Z'WZ L, with L the standard deviations `sd` by term. */
export const fillCurvature = (layout: GroupLayout, sd: Float64Array, weights: Float64Array) => {
  const { factor, nodes, pairs, rows } = layout;
  const { values, columnStart } = factor;
  values.fill(0);
  for (let k = 0; k < factor.size; k++) values[columnStart[k + 1] - 1] = 1;
  nodes.forEach((node, k) => {
    const square = sd[k] * sd[k];
    for (let i = 0; i < rows; i++) values[columnStart[node[i] + 1] - 1] += square * weights[i];
  });
  for (const { a, b, upper } of pairs) {
    const product = sd[a] * sd[b];
    for (let i = 0; i < rows; i++) values[upper[i]] += product * weights[i];
  }
};
