import { type BoundedMaximum, maximiseEven } from './boundary';
import { dot, quadratic, times } from './dense';
import type { Design } from './design';
import type { QuadratureRule } from './gauss-hermite';
import type { GroupTerm } from './groups';
import { mixedObjective, type MixedModel, type Objective, type Penalty } from './laplace';
import type { Likelihood } from './likelihood';
import { type OrthogonalDesign, orthogonalise } from './orthogonal';

/** How a fit was reached. */
export type FitHow = {
  readonly method: string;
  readonly iterations: number;
  readonly evaluations: number;
  readonly converged: boolean;
  /**
   * Parameters that ended on their bound (a standard deviation of zero, no overdispersion). They
   * are treated as known when standard errors are computed.
   */
  readonly atBound: readonly string[];
  /**
   * Parameters without a finite estimate: every plot (say) all diseased or all healthy, so that the
   * variance between plots has no upper limit. The fit is then not usable; `converged` is false.
   */
  readonly runaway: readonly string[];
};

/** Why and how a penalty was added. `rows` are design rows whose estimate would run off. */
export type Penalised = {
  readonly code: 'separation';
  /** Pseudo-counts: this much of a success and of a failure at each distinct design row. */
  readonly weight: number;
  readonly rows: readonly number[];
};

export type EngineProblem = {
  readonly likelihood: Likelihood;
  readonly design: Design;
  readonly terms: readonly GroupTerm[];
  readonly rule?: QuadratureRule | undefined;
  readonly shape: {
    readonly start: Float64Array;
    readonly names: readonly string[];
    /** The likelihood is even in the shapes (their sign means nothing, zero is a bound). */
    readonly even: boolean;
  };
  /**
   * Likelihood of pseudo-data: `weight` of each extreme outcome in each of `rows` cells; its rows
   * are the cells, once or several times over.
   */
  readonly pseudo: (rows: number, weight: number) => Likelihood;
};

export type EngineFit = {
  /** At the estimates, without the penalty. */
  readonly logLik: number;
  readonly parameters: number;
  readonly names: readonly string[];
  readonly coefficients: Float64Array;
  /**
   * Of shapes, then coefficients, row-major; undefined when the information is not positive
   * definite.
   */
  readonly covariance: Float64Array | undefined;
  readonly shape: Float64Array;
  readonly sd: readonly number[];
  readonly modes: readonly Float64Array[];
  readonly eta: Float64Array;
  /** Design columns that depend on earlier ones. */
  readonly dropped: readonly string[];
  readonly penalised: Penalised | undefined;
  readonly how: FitHow;
};

/** A fitted logit with a standard error beyond this is running off to infinity. */
const RUNAWAY_SE = 30;
/** Likewise a standard deviation of logits, or the root of the beta-binomial's 1 / phi. */
export const RUNAWAY_SD = 10;
const START_SD = 0.5;

/** Distinct rows of a design, as a design of their own. */
const distinctRows = (matrix: Float64Array, rows: number, columns: number): Float64Array => {
  const seen = new Map<string, Float64Array>();
  for (let i = 0; i < rows; i++) {
    const row = matrix.subarray(i * columns, (i + 1) * columns);
    seen.set(row.join(' '), row);
  }
  const distinct = new Float64Array(seen.size * columns);
  [...seen.values()].forEach((row, i) => {
    distinct.set(row, i * columns);
  });
  return distinct;
};

/**
 * The penalty used when a treatment is all diseased or all healthy, so that its logit has no finite
 * estimate: pseudo-counts shared over the distinct design rows, in all one for each coefficient,
 * half diseased and half healthy (Clogg, Rubin, Schenker, Schultz & Weidman 1991, JASA 86:68-78).
 * With one factor that is half a diseased and half a healthy leaf for each treatment, spread
 * evenly, whichever is the reference.
 */
const separationPenalty = (problem: EngineProblem, x: OrthogonalDesign) => {
  const columns = x.kept.length;
  const design = distinctRows(x.matrix, problem.design.rows, columns);
  const cells = design.length / columns;
  const weight = Math.max(columns, 1) / cells / 2;
  const likelihood = problem.pseudo(cells, weight);
  // Some pseudo-data need two rows a cell (lowest and highest grade): the design repeats.
  const repeated = new Float64Array(likelihood.rows * columns);
  for (let at = 0; at < repeated.length; at += design.length) repeated.set(design, at);
  const penalty: Penalty = { design: repeated, likelihood };
  return { penalty, weight };
};

const runawayRows = (
  problem: EngineProblem,
  x: OrthogonalDesign,
  fit: BoundedMaximum,
): number[] => {
  const shapes = problem.likelihood.shapes;
  const n = fit.point.length;
  const rows: number[] = [];
  for (let i = 0; i < problem.design.rows; i++) {
    const v = new Float64Array(n);
    v.set(x.matrix.subarray(i * x.kept.length, (i + 1) * x.kept.length), shapes);
    if (!fit.covariance || quadratic(v, fit.covariance, v) > RUNAWAY_SE ** 2) rows.push(i);
  }
  return rows;
};

/** The fit without group effects: start of the mixed fit, and the test for separation. */
const plainFit = (problem: EngineProblem, x: OrthogonalDesign) => {
  const model: MixedModel = {
    likelihood: problem.likelihood,
    design: x.matrix,
    columns: x.kept.length,
    terms: [],
  };
  const start = new Float64Array(problem.likelihood.shapes + x.kept.length);
  start.set(problem.shape.start);
  const even = Array.from(start, (_, i) => problem.shape.even && i < problem.likelihood.shapes);
  const run = (m: MixedModel) => {
    const objective = mixedObjective(m);
    return { objective, fit: maximiseEven(objective.evaluate, start, even), even };
  };
  const first = run(model);
  const rows = runawayRows(problem, x, first.fit);
  if (rows.length === 0) return { ...first, penalty: undefined, penalised: undefined };
  const { penalty, weight } = separationPenalty(problem, x);
  const penalised: Penalised = { code: 'separation', weight, rows };
  return { ...run({ ...model, penalty }), penalty, penalised };
};

const methodName = (problem: EngineProblem): string => {
  if (problem.terms.length === 0) return 'maximum likelihood';
  if (problem.rule) {
    return `maximum likelihood, adaptive Gauss-Hermite with ${problem.rule.nodes.length} points`;
  }
  return 'maximum likelihood, Laplace approximation';
};

/**
 * Fits a (mixed) model by maximum likelihood over standard deviations, shapes and coefficients
 * jointly. Standard errors come from the observed information over all parameters not at a bound.
 */
export const fitEngine = (problem: EngineProblem): EngineFit => {
  const { design, likelihood, terms } = problem;
  const x = orthogonalise(design.matrix, design.rows, design.names.length);
  const plain = plainFit(problem, x);
  if (terms.length === 0) return report(problem, x, plain);
  const objective = mixedObjective({
    likelihood,
    design: x.matrix,
    columns: x.kept.length,
    terms,
    rule: problem.rule,
    penalty: plain.penalty,
  });
  const start = new Float64Array(objective.dimension);
  start.fill(START_SD, 0, terms.length);
  start.set(plain.fit.point, terms.length);
  if (problem.shape.even && start[terms.length] === 0) start[terms.length] = 0.1;
  const even = [...terms.map(() => true), ...plain.even];
  const fit = maximiseEven(objective.evaluate, start, even);
  return report(problem, x, { ...plain, objective, fit });
};

type Fitted = {
  readonly objective: Objective;
  readonly fit: BoundedMaximum;
  readonly penalised: Penalised | undefined;
};

const evenAt = (problem: EngineProblem, i: number): boolean =>
  i < problem.terms.length || problem.shape.even;

const report = (problem: EngineProblem, x: OrthogonalDesign, f: Fitted): EngineFit => {
  const { fit, objective } = f;
  const K = problem.terms.length;
  const shapes = problem.likelihood.shapes;
  const labels = [...problem.terms.map((t) => t.name), ...problem.shape.names];
  const gamma = fit.point.subarray(K + shapes);
  const n = fit.point.length;
  const runaway = labels.filter((_, i) => evenAt(problem, i) && fit.point[i] > RUNAWAY_SD);
  return {
    logLik: fit.value - objective.penaltyShare(),
    parameters: n,
    names: x.kept.map((j) => problem.design.names[j]),
    coefficients: backTransform(x, gamma),
    covariance: fit.covariance && backCovariance(x, fit.covariance, n, shapes),
    shape: fit.point.slice(K, K + shapes),
    sd: [...fit.point.subarray(0, K)],
    modes: objective.modes(),
    eta: objective.eta(),
    dropped: x.dropped.map((j) => problem.design.names[j]),
    penalised: f.penalised,
    how: {
      method: methodName(problem),
      iterations: fit.iterations,
      evaluations: objective.evaluations(),
      converged: fit.converged && runaway.length === 0,
      atBound: labels.filter((_, i) => fit.atZero[i]),
      runaway,
    },
  };
};

/** Coefficients of the design's own columns from those of the orthogonal ones. */
export const backTransform = (x: OrthogonalDesign, gamma: Float64Array): Float64Array => {
  const p = gamma.length;
  return Float64Array.from({ length: p }, (_, i) => {
    let sum = 0;
    for (let j = i; j < p; j++) sum += x.back[i * p + j] * gamma[j];
    return sum;
  });
};

/** Covariance of shapes and coefficients, the latter on their own scale. */
export const backCovariance = (
  x: OrthogonalDesign,
  whole: Float64Array,
  n: number,
  shapes: number,
): Float64Array => {
  const p = x.kept.length;
  const m = shapes + p;
  const back = Array.from({ length: m }, (_, i) => {
    const row = new Float64Array(n);
    if (i < shapes) row[n - m + i] = 1;
    else row.set(x.back.subarray((i - shapes) * p, (i - shapes + 1) * p), n - p);
    return row;
  });
  const half = back.map((row) => times(whole, row));
  return Float64Array.from({ length: m * m }, (_, k) => dot(back[Math.floor(k / m)], half[k % m]));
};

/** The coefficients' block of a joint covariance. */
export const coefficientCovariance = (fit: EngineFit): Float64Array | undefined => {
  const { covariance } = fit;
  if (!covariance) return undefined;
  const p = fit.names.length;
  const shapes = fit.shape.length;
  const m = shapes + p;
  return Float64Array.from(
    { length: p * p },
    (_, k) => covariance[(shapes + Math.floor(k / p)) * m + shapes + (k % p)],
  );
};
