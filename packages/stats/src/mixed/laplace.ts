import type { QuadratureRule } from './gauss-hermite';
import { type GroupLayout, type GroupTerm, layOutGroups } from './groups';
import { type Curves, emptyCurves, type Likelihood } from './likelihood';
import { addToGroups, findModes, type ModeSearch } from './modes';
import { laplaceSpread, quadratureSpread, type Spread } from './spread';
import { invertOnPattern, solveInPlace } from './sparse';

/** Rows of pseudo-data without group effects, added to the log-likelihood as a mild penalty. */
export type Penalty = { readonly design: Float64Array; readonly likelihood: Likelihood };

/** A response with fixed effects (row-major design, may have no columns) and random intercepts. */
export type MixedModel = {
  readonly likelihood: Likelihood;
  readonly design: Float64Array;
  readonly columns: number;
  readonly terms: readonly GroupTerm[];
  /** Adaptive quadrature instead of Laplace; one term only. */
  readonly rule?: QuadratureRule | undefined;
  readonly penalty?: Penalty | undefined;
};

/** Parameters in one vector: standard deviations by term, then shapes, then coefficients. */
export type Objective = {
  readonly dimension: number;
  readonly termCount: number;
  readonly shapeCount: number;
  /**
   * The (penalised) marginal log-likelihood; its gradient into `gradient` when given. -Infinity
   * where the model is impossible. Keeps the modes it found as the next start.
   */
  readonly evaluate: (point: Float64Array, gradient?: Float64Array) => number;
  /** The penalty's share of the last value. */
  readonly penaltyShare: () => number;
  /** Conditional modes on the link scale, term by term, of the last evaluation. */
  readonly modes: () => Float64Array[];
  /** Linear predictors of the last evaluation, group effects included. */
  readonly eta: () => Float64Array;
  readonly evaluations: () => number;
};

type State = ModeSearch & {
  readonly model: MixedModel;
  readonly fixed: Float64Array;
  readonly adjoint: Float64Array;
  readonly rowAdjoint: Float64Array;
  readonly rowLeverage: Float64Array;
  readonly rowSlope: Float64Array;
  readonly termLeverage: readonly Float64Array[];
};

const product = (design: Float64Array, columns: number, beta: Float64Array, into: Float64Array) => {
  for (let i = 0; i < into.length; i++) {
    let sum = 0;
    for (let j = 0; j < columns; j++) sum += design[i * columns + j] * beta[j];
    into[i] = sum;
  }
};

const newState = (model: MixedModel, layout: GroupLayout): State => {
  const rows = model.likelihood.rows;
  const size = layout.factor.size;
  return {
    model,
    layout,
    likelihood: model.likelihood,
    u: new Float64Array(size),
    step: new Float64Array(size),
    trial: new Float64Array(size),
    adjoint: new Float64Array(size),
    eta: new Float64Array(rows),
    fixed: new Float64Array(rows),
    weights: new Float64Array(rows),
    rowAdjoint: new Float64Array(rows),
    rowLeverage: new Float64Array(rows),
    rowSlope: new Float64Array(rows),
    termLeverage: layout.terms.map(() => new Float64Array(rows)),
    curves: emptyCurves(rows),
  };
};

/**
 * Entries of the inverse curvature that a row needs: for each term k, into `own`, the sum over
 * terms m of sd_m times the entry between the row's groups in k and m.
 */
const addLeverage = (s: State, sd: Float64Array, own: readonly Float64Array[]): void => {
  const { factor, nodes, pairs } = s.layout;
  nodes.forEach((node, k) => {
    for (let i = 0; i < node.length; i++) own[k][i] = sd[k] * factor.inverseDiagonal[node[i]];
  });
  for (const { a, b, lower } of pairs) {
    for (let i = 0; i < lower.length; i++) {
      const entry = factor.inverseLower[lower[i]];
      own[a][i] += sd[b] * entry;
      own[b][i] += sd[a] * entry;
    }
  }
};

/**
 * Gradient by implicit differentiation at the modes (one extra solve for all parameters): with
 * A the inverse curvature, h_i the variance of row i's predictor under A, and s = A Z'(l''' h / 2
 * [+ slope of the quadrature sum]), each row's predictor counts score + l''' h / 2 - w (Z s)_i.
 */
const fillGradient = (s: State, sd: Float64Array, spread: Spread, gradient: Float64Array): void => {
  const { layout, curves, adjoint, rowAdjoint: t, rowLeverage: h } = s;
  const K = layout.terms.length;
  const rows = s.fixed.length;
  invertOnPattern(layout.factor);
  const own = s.termLeverage;
  addLeverage(s, sd, own);
  h.fill(0);
  own.forEach((a, k) => {
    if (spread.inflation) for (let i = 0; i < rows; i++) a[i] *= spread.inflation[i];
    for (let i = 0; i < rows; i++) h[i] += sd[k] * a[i];
  });
  for (let i = 0; i < rows; i++) t[i] = (curves.third[i] * h[i]) / 2;
  adjoint.fill(0);
  addToGroups(layout, sd, t, adjoint);
  if (spread.slope) for (let k = 0; k < adjoint.length; k++) adjoint[k] += spread.slope[k];
  solveInPlace(layout.factor, adjoint);
  const perRow = s.rowSlope;
  perRow.set(t);
  t.fill(0);
  layout.nodes.forEach((node, k) => {
    for (let i = 0; i < rows; i++) t[i] += sd[k] * adjoint[node[i]];
  });
  for (let i = 0; i < rows; i++) perRow[i] += curves.second[i] * t[i];
  layout.nodes.forEach((node, k) => {
    let sum = spread.termGradient[k];
    for (let i = 0; i < rows; i++) {
      const g = node[i];
      sum += s.u[g] * perRow[i] + curves.second[i] * own[k][i] + adjoint[g] * curves.first[i];
    }
    gradient[k] += sum;
  });
  const columns = s.model.columns;
  const start = K + s.likelihood.shapes;
  for (let i = 0; i < rows; i++) {
    const v = spread.score[i] + perRow[i];
    for (let j = 0; j < columns; j++) gradient[start + j] += v * s.model.design[i * columns + j];
  }
};

const fillShapeGradient = (s: State, shape: Float64Array, spread: Spread, into: Float64Array) => {
  spread.addShapeGradient(into);
  s.likelihood.addShapeGradient(
    s.eta,
    shape,
    {
      value: new Float64Array(s.fixed.length),
      first: s.rowAdjoint,
      second: s.rowLeverage.map((v) => v / 2),
    },
    into,
  );
};

const penaltyTerm = (model: MixedModel) => {
  const { penalty, columns } = model;
  if (!penalty) return undefined;
  const rows = penalty.likelihood.rows;
  const eta = new Float64Array(rows);
  const curves: Curves = emptyCurves(rows);
  const ones = new Float64Array(rows).fill(1);
  const zeros = new Float64Array(rows);
  return (
    beta: Float64Array,
    shape: Float64Array,
    shapeOut?: Float64Array,
    betaOut?: Float64Array,
  ) => {
    product(penalty.design, columns, beta, eta);
    const value = penalty.likelihood.evaluate(eta, shape, curves);
    if (shapeOut && betaOut) {
      const weights = { value: ones, first: zeros, second: zeros };
      penalty.likelihood.addShapeGradient(eta, shape, weights, shapeOut);
      for (let i = 0; i < rows; i++) {
        for (let j = 0; j < columns; j++) {
          betaOut[j] += curves.first[i] * penalty.design[i * columns + j];
        }
      }
    }
    return value;
  };
};

/**
 * The marginal log-likelihood of a mixed model as a function of all its parameters, by the Laplace
 * approximation with observed curvature (Breslow & Clayton 1993, JASA 88:9-25, eq. 4; for the
 * logit link the same number as R's lme4::glmer with nAGQ = 1) or by adaptive Gauss-Hermite
 * quadrature (Pinheiro & Bates 1995, J. Comp. Graph. Stat. 4:12-35), constants included. It is
 * even in each standard deviation, so that a variance of zero is an ordinary stationary point.
 */
export const mixedObjective = (model: MixedModel): Objective => {
  const { likelihood, columns, rule } = model;
  if (rule && model.terms.length !== 1) {
    throw new RangeError(`quadrature needs one grouping; got ${model.terms.length}. Use Laplace.`);
  }
  const layout = layOutGroups(model.terms, likelihood.rows);
  const s = newState(model, layout);
  const K = layout.terms.length;
  const dimension = K + likelihood.shapes + columns;
  const penalty = penaltyTerm(model);
  let count = 0;
  let penalised = 0;
  let lastSd = new Float64Array(K);
  const evaluate = (point: Float64Array, gradient?: Float64Array): number => {
    count++;
    const sd = point.slice(0, K);
    const shape = point.slice(K, K + likelihood.shapes);
    const beta = point.slice(K + likelihood.shapes);
    lastSd = sd;
    product(model.design, columns, beta, s.fixed);
    const value = findModes(s, { fixed: s.fixed, sd, shape });
    if (value === undefined) {
      s.u.fill(0);
      return -Infinity;
    }
    const here = { ...s, sd, shape, penalisedValue: value };
    const spread = rule ? quadratureSpread(here, rule) : laplaceSpread(here);
    if (gradient) {
      gradient.fill(0);
      fillGradient(s, sd, spread, gradient);
      if (likelihood.shapes > 0) {
        fillShapeGradient(s, shape, spread, gradient.subarray(K, K + likelihood.shapes));
      }
    }
    penalised = penalty
      ? penalty(beta, shape, gradient?.subarray(K), gradient?.subarray(K + likelihood.shapes))
      : 0;
    return spread.logLik + penalised;
  };
  return {
    dimension,
    termCount: K,
    shapeCount: likelihood.shapes,
    evaluate,
    penaltyShare: () => penalised,
    modes: () =>
      layout.terms.map((term, k) =>
        s.u.slice(layout.offsets[k], layout.offsets[k] + term.size).map((v) => v * lastSd[k]),
      ),
    eta: () => s.eta.slice(),
    evaluations: () => count,
  };
};
