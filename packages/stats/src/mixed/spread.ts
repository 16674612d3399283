import type { QuadratureRule } from './gauss-hermite';
import { emptyCurves } from './likelihood';
import { linearPredictor, type ModeSearch } from './modes';
import { logDeterminant } from './sparse';

/** The marginal log-likelihood at the modes, and the explicit (not implicit) part of its slope. */
export type Spread = {
  readonly logLik: number;
  /** Derivative by each row's fixed predictor, modes and curvature held. */
  readonly score: Float64Array;
  /** Derivative by each standard deviation, modes and curvature held. */
  readonly termGradient: Float64Array;
  readonly addShapeGradient: (gradient: Float64Array) => void;
  /** Quadrature: factor on the inverse curvature seen by each row, and slope by each mode. */
  readonly inflation?: Float64Array;
  readonly slope?: Float64Array;
};

export type AtModes = ModeSearch & {
  readonly fixed: Float64Array;
  readonly sd: Float64Array;
  readonly shape: Float64Array;
  readonly penalisedValue: number;
};

/** Laplace: penalised value less half the log-determinant of the curvature. */
export const laplaceSpread = (s: AtModes): Spread => {
  const { layout, curves, likelihood } = s;
  const rows = s.fixed.length;
  const termGradient = new Float64Array(layout.terms.length);
  layout.nodes.forEach((node, k) => {
    for (let i = 0; i < rows; i++) termGradient[k] += curves.first[i] * s.u[node[i]];
  });
  return {
    logLik: s.penalisedValue - logDeterminant(layout.factor) / 2,
    score: curves.first,
    termGradient,
    addShapeGradient: (gradient) => {
      const zeros = new Float64Array(rows);
      const value = new Float64Array(rows).fill(1);
      likelihood.addShapeGradient(s.eta, s.shape, { value, first: zeros, second: zeros }, gradient);
    },
  };
};

type NodeSums = {
  /** Per quadrature node: log integrand of each group, first derivative of each row, u, eta. */
  readonly log: Float64Array;
  readonly first: Float64Array;
  readonly u: Float64Array;
  readonly eta: Float64Array;
};

const atNode = (s: AtModes, x: number): NodeSums => {
  const { layout, likelihood } = s;
  const groups = s.u.length;
  const u = s.u.map((mode, g) => mode + (Math.SQRT2 * x) / Math.sqrt(layout.factor.diagonal[g]));
  const eta = new Float64Array(s.fixed.length);
  linearPredictor(layout, s.fixed, s.sd, u, eta);
  const curves = emptyCurves(eta.length);
  likelihood.evaluate(eta, s.shape, curves);
  const log = u.map((v) => -(v * v) / 2);
  const node = layout.nodes[0];
  for (let i = 0; i < eta.length; i++) log[node[i]] += curves.value[i];
  if (groups !== layout.terms[0].size) throw new Error('Quadrature met more than one grouping');
  return { log, first: curves.first, u, eta };
};

/** Turns each node's log integrand into its share of the group's integral; returns log-integrals. */
const shares = (s: AtModes, rule: QuadratureRule, at: readonly NodeSums[]): number => {
  const { diagonal } = s.layout.factor;
  let logLik = 0;
  for (let g = 0; g < s.u.length; g++) {
    let top = -Infinity;
    at.forEach((node, k) => {
      node.log[g] += Math.log(rule.weights[k]) + rule.nodes[k] ** 2;
      top = Math.max(top, node.log[g]);
    });
    let sum = 0;
    for (const node of at) sum += Math.exp(node.log[g] - top);
    for (const node of at) node.log[g] = Math.exp(node.log[g] - top) / sum;
    logLik += top + Math.log(sum) - (Math.log(diagonal[g]) + Math.log(Math.PI)) / 2;
  }
  return logLik;
};

/**
 * Adaptive Gauss-Hermite quadrature over one grouping, nodes centred on the modes and scaled by the
 * curvature there, with the exact slope of the sum itself (nodes move with the parameters).
 */
export const quadratureSpread = (s: AtModes, rule: QuadratureRule): Spread => {
  const node = s.layout.nodes[0];
  const sd = s.sd[0];
  const rows = s.fixed.length;
  const at = Array.from(rule.nodes, (x) => atNode(s, x));
  const logLik = shares(s, rule, at);
  const score = new Float64Array(rows);
  const termGradient = new Float64Array(1);
  const slope = new Float64Array(s.u.length);
  const stretch = new Float64Array(s.u.length);
  const shareOfRow = at.map((sums) => Float64Array.from(node, (g) => sums.log[g]));
  at.forEach(({ first, u, log }, k) => {
    for (let g = 0; g < u.length; g++) {
      slope[g] -= log[g] * u[g];
      stretch[g] -= log[g] * u[g] * Math.SQRT2 * rule.nodes[k];
    }
    for (let i = 0; i < rows; i++) {
      const g = node[i];
      const part = log[g] * first[i];
      score[i] += part;
      termGradient[0] += part * u[g];
      slope[g] += sd * part;
      stretch[g] += sd * part * Math.SQRT2 * rule.nodes[k];
    }
  });
  const { diagonal } = s.layout.factor;
  return {
    logLik,
    score,
    termGradient,
    inflation: Float64Array.from(node, (g) => 1 + stretch[g] / Math.sqrt(diagonal[g])),
    slope,
    addShapeGradient: (gradient) => {
      const zeros = new Float64Array(rows);
      at.forEach(({ eta }, k) => {
        const weights = { value: shareOfRow[k], first: zeros, second: zeros };
        s.likelihood.addShapeGradient(eta, s.shape, weights, gradient);
      });
    },
  };
};
