import { evenDeviates } from './even-deviates';
import type { Hierarchy } from './hierarchy';
import { innerSolver, type InnerSolver, solveRootTransposed } from './inner';
import { type SpreadGrid, spreadGrid, type SpreadNode } from './spread-grid';

/**
 * Weighted points that stand for the posterior of the treatments' means and the spreads. Any
 * expectation is the sum of weight times value. A few weights are below 0: they take away what the
 * first approximation had too much of.
 */
export type PosteriorPoints = {
  readonly treatments: number;
  /** Means of the treatments, points by treatments. */
  readonly means: Float64Array;
  /** They sum to 1. */
  readonly weights: Float64Array;
  readonly grid: SpreadGrid;
  /** Weight of each node of the grid. */
  readonly nodeWeights: Float64Array;
  /** (sum w)^2 / (n sum w^2) of the points that were weighed: near 1 where Gaussians were right. */
  readonly efficiency: number;
};

/** How many points: spread by the Gaussians alone, and weighed by the posterior itself. */
export type Effort = { readonly laid: number; readonly weighed: number };

const EFFORT: Effort = { laid: 16384, weighed: 2048 };
/** Where the Gaussians fit worse than this they are no help: more points are weighed, those alone. */
const ENOUGH = 0.83;
const MORE_WEIGHED = 6144;
/** And still more where they hardly fit at all. */
const HARDLY = 0.3;
const MOST_WEIGHED = 16384;

/** Shares and widths of the Gaussians that weighed points come from; the wide one guards the tails. */
const NARROW = { share: 0.85, width: 1.05 };
const WIDE = { share: 0.15, width: 1.9 };

/** Density under which weighed points are laid out, over that of the standard normal. */
const layoutRatio = (square: number, dimension: number): number => {
  const part = ({ share, width }: typeof NARROW) =>
    share * width ** -dimension * Math.exp((square / 2) * (1 - 1 / (width * width)));
  return part(NARROW) + part(WIDE);
};

/** Whole numbers of mirror pairs for each node, `pairs` in all, as near to the shares as can be. */
const allot = (nodes: readonly SpreadNode[], pairs: number): number[] => {
  let before = 0;
  let given = 0;
  return nodes.map(({ share }) => {
    before += share;
    const own = Math.round(before * pairs) - given;
    given += own;
    return own;
  });
};

/** Points around the modes of the nodes; z are their standardised squares. */
type Layout = {
  readonly count: number;
  readonly means: Float64Array;
  readonly squares: Float64Array;
  readonly node: Int32Array;
};

/** Mirror pairs around each node's mode, by its Gaussian, stretched by `width` of the choice column. */
const layOut = (
  nodes: readonly SpreadNode[],
  T: number,
  pairs: number,
  width: (choice: number) => number,
): Layout => {
  const deviates = evenDeviates(pairs, T);
  const count = 2 * pairs;
  const means = new Float64Array(count * T);
  const squares = new Float64Array(count);
  const nodeOf = new Int32Array(count);
  const offset = new Float64Array(T);
  let pair = 0;
  allot(nodes, pairs).forEach((own, n) => {
    const { mode } = nodes[n];
    for (let end = pair + own; pair < end; pair++) {
      const stretch = width(deviates[pair * (T + 1) + T]);
      let square = 0;
      for (let a = 0; a < T; a++) {
        offset[a] = stretch * deviates[pair * (T + 1) + a];
        square += offset[a] * offset[a];
      }
      solveRootTransposed(mode.root, offset);
      for (let side = 0; side < 2; side++) {
        const at = 2 * pair + side;
        squares[at] = square;
        nodeOf[at] = n;
        for (let a = 0; a < T; a++) {
          means[at * T + a] = mode.centre[a] + (side === 0 ? offset[a] : -offset[a]);
        }
      }
    }
  });
  return { count, means, squares, node: nodeOf };
};

/** Divides by the sum; returns sum^2 / (n times the sum of squares). */
const normalise = (weights: Float64Array): number => {
  let sum = 0;
  let squares = 0;
  for (const w of weights) {
    sum += w;
    squares += w * w;
  }
  for (let i = 0; i < weights.length; i++) weights[i] /= sum;
  return (sum * sum) / (squares * weights.length);
};

/** Points weighed by the posterior, effects integrated out at each; and by the Gaussian alone. */
const weigh = (h: Hierarchy, solver: InnerSolver, nodes: readonly SpreadNode[], points: number) => {
  const T = h.treatments;
  const layout = layOut(nodes, T, points / 2, (choice) =>
    choice < NARROW.share ? NARROW.width : WIDE.width,
  );
  const heights = nodes.map(({ mode }) => {
    let height = mode.logIntegral - (T / 2) * Math.log(2 * Math.PI);
    for (let a = 0; a < T; a++) height += Math.log(mode.root[a * T + a]);
    return height;
  });
  const own = new Float64Array(layout.count);
  const gaussian = new Float64Array(layout.count);
  for (let i = 0; i < layout.count; i++) {
    const node = nodes[layout.node[i]];
    const square = layout.squares[i];
    gaussian[i] = 1 / layoutRatio(square, T);
    const log = solver.conditional(node.sd, layout.means.subarray(i * T, (i + 1) * T), node.mode);
    own[i] = Math.exp(log - heights[layout.node[i]] + square / 2) * gaussian[i];
  }
  normalise(gaussian);
  const efficiency = normalise(own);
  return { layout, own, gaussian, efficiency };
};

/** The points of two layouts together. */
const joined = (T: number, a: Layout, b: Layout): Layout => {
  const means = new Float64Array((a.count + b.count) * T);
  means.set(a.means);
  means.set(b.means, a.count * T);
  const node = new Int32Array(a.count + b.count);
  node.set(a.node);
  node.set(b.node, a.count);
  return { count: a.count + b.count, means, squares: a.squares, node };
};

/**
 * The posterior of a hierarchical model as weighted points, without chance: a grid over the
 * standard deviations; at each of its points a Gaussian at the mode of the means (nested Laplace:
 * Rue, Martino & Chopin 2009, JRSS B 71:319-392). For counts the Gaussians are then corrected by
 * importance weights at some of the points, the effects alone integrated by Laplace there; for
 * normal values they are exact. Undefined where no posterior is found.
 */
export const posteriorPoints = (
  h: Hierarchy,
  effort: Effort = EFFORT,
): PosteriorPoints | undefined => {
  const solver = innerSolver(h);
  const grid = spreadGrid(h, solver);
  if (!grid) return undefined;
  const T = h.treatments;
  const { nodes } = grid;
  const plain = layOut(nodes, T, effort.laid / 2, () => 1);
  const equal = new Float64Array(plain.count).fill(1 / plain.count);
  const nodeWeights = Float64Array.from(nodes, ({ share }) => share);
  if (h.response.residual) {
    return { treatments: T, means: plain.means, weights: equal, grid, nodeWeights, efficiency: 1 };
  }
  const first = weigh(h, solver, nodes, effort.weighed);
  if (first.efficiency < ENOUGH) {
    const wanted = first.efficiency < HARDLY ? MOST_WEIGHED : MORE_WEIGHED;
    const more = Math.max(effort.weighed, wanted);
    const { layout, own, efficiency } = weigh(h, solver, nodes, more);
    nodeWeights.fill(0);
    own.forEach((w, i) => (nodeWeights[layout.node[i]] += w));
    return { treatments: T, means: layout.means, weights: own, grid, nodeWeights, efficiency };
  }
  // What the Gaussians give the weighed points is taken off again: only the difference is added.
  const { layout, own, gaussian, efficiency } = first;
  const all = joined(T, plain, layout);
  const weights = new Float64Array(all.count);
  weights.set(equal);
  own.forEach((w, i) => {
    weights[plain.count + i] = w - gaussian[i];
    nodeWeights[layout.node[i]] += w - gaussian[i];
  });
  return { treatments: T, means: all.means, weights, grid, nodeWeights, efficiency };
};
