import { dot } from '../mixed/dense';
import { freeInverse } from '../mixed/maximise';
import { type Slope, serialMatrix, slopesOf, timesSlope, traceWith } from './covariance';
import type { RemlFit } from './fit';
import { addCross, gradientAt, projection, type Solved } from './likelihood';

/**
 * What the covariance of the variance parameters, and its effect on that of the fixed effects,
 * need; all p x p, in the basis of the fixed effects, parameters in the order of `Model.size`.
 */
export type Pieces = {
  /** Q'W V_i W Q; minus the derivative of Q'WQ by parameter i. */
  readonly m: readonly Float64Array[];
  /** Q'W V_i W V_j W Q, at i * size + j. */
  readonly q: readonly Float64Array[];
  /** tr(W V_i W V_j). */
  readonly traces: Float64Array;
  /** Q'W V_ij W Q for the second derivatives that are not zero, at i * size + j. */
  readonly second: ReadonlyMap<number, Float64Array>;
};

type Half = { readonly u: readonly Float64Array[]; readonly b: readonly Float64Array[] };

/** V_i W Q and V_i W of one part, for every parameter. */
function halvesOf({ part, w, wq }: Solved, slopes: readonly Slope[], p: number): Half {
  return {
    u: slopes.map((slope) => timesSlope(slope, wq, p)),
    b: slopes.map((slope) => timesSlope(slope, w, part.size)),
  };
}

/** tr(A B) for square matrices A and B. */
function traceOf(a: Float64Array, b: Float64Array, size: number): number {
  let sum = 0;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) sum += a[i * size + j] * b[j * size + i];
  }
  return sum;
}

/** Second derivatives of one part's covariance, by place i * size + j. */
function secondsOf({ model, place }: RemlFit, { part }: Solved): [number, Slope][] {
  if (!part.gaps) return [];
  const { size } = model;
  const residual = size - 2;
  const rho = size - 1;
  const variance = place.theta[residual];
  const turn = serialMatrix(part.gaps, place.theta[rho], 'first');
  const bend = serialMatrix(part.gaps, place.theta[rho], 'second').map((v) => v * variance);
  const first: Slope = { kind: 'dense', matrix: turn };
  return [
    [residual * size + rho, first],
    [rho * size + residual, first],
    [rho * size + rho, { kind: 'dense', matrix: bend }],
  ];
}

function multiply(a: Float64Array, b: Float64Array, p: number): Float64Array {
  const out = new Float64Array(p * p);
  for (let i = 0; i < p; i++) {
    for (let k = 0; k < p; k++) {
      const weight = a[i * p + k];
      if (weight === 0) continue;
      for (let j = 0; j < p; j++) out[i * p + j] += weight * b[k * p + j];
    }
  }
  return out;
}

/** Adds W-weighted crossproducts of one part. */
function addPart(fit: RemlFit, one: Solved, into: Pieces & { traces: Float64Array }): void {
  const { size, p } = fit.model;
  const { part, w, wq } = one;
  const slopes = slopesOf(fit.model, part, fit.place.theta);
  const { u, b } = halvesOf(one, slopes, p);
  // W V_j W Q, through the rows of W.
  const t = u.map((column) => {
    const out = new Float64Array(column.length);
    for (let i = 0; i < part.size; i++) {
      for (let k = 0; k < part.size; k++) {
        const weight = w[i * part.size + k];
        if (weight === 0) continue;
        for (let j = 0; j < p; j++) out[i * p + j] += weight * column[k * p + j];
      }
    }
    return out;
  });
  for (let i = 0; i < size; i++) {
    addCross(into.m[i], wq, u[i], p);
    for (let j = 0; j < size; j++) {
      addCross(into.q[i * size + j], u[i], t[j], p);
      into.traces[i * size + j] += traceOf(b[i], b[j], part.size);
    }
  }
  for (const [at, slope] of secondsOf(fit, one)) {
    const found = into.second.get(at);
    if (found) addCross(found, wq, timesSlope(slope, wq, p), p);
  }
}

/** The pieces of a fit, part by part. */
export function piecesOf(fit: RemlFit): Pieces {
  const { size, p, serial } = fit.model;
  const square = (): Float64Array => new Float64Array(p * p);
  const places = serial
    ? [(size - 2) * size + size - 1, (size - 1) * size + size - 2, size * size - 1]
    : [];
  const pieces = {
    m: Array.from({ length: size }, square),
    q: Array.from({ length: size * size }, square),
    traces: new Float64Array(size * size),
    second: new Map(places.map((at) => [at, square()])),
  };
  for (const one of fit.place.solved) addPart(fit, one, pieces);
  return pieces;
}

/** Expected information of REML, tr(P V_i P V_j) / 2. */
export function expectedInformation(fit: RemlFit, { m, q, traces }: Pieces): Float64Array {
  const { size, p } = fit.model;
  const { phi } = fit.place;
  const turned = m.map((one) => multiply(phi, one, p));
  return traces.map((trace, at) => {
    const i = Math.floor(at / size);
    const j = at % size;
    return (trace - 2 * traceOf(phi, q[at], p) + traceOf(turned[i], turned[j], p)) / 2;
  });
}

/** What second derivatives of the covariance add to minus the Hessian: [tr(P V_ij) - s'V_ij s] / 2. */
function curvature(fit: RemlFit, out: Float64Array): void {
  for (const one of fit.place.solved) {
    const seconds = secondsOf(fit, one);
    if (seconds.length === 0) return;
    const { size } = one.part;
    const trace = projection(one, fit.place.phi, fit.model.p);
    for (const [at, slope] of seconds) {
      out[at] += (traceWith(slope, trace, size) - dot(one.s, timesSlope(slope, one.s, 1))) / 2;
    }
  }
}

/** Observed information of REML: minus the Hessian of its log-likelihood. */
export function observedInformation(fit: RemlFit, expected: Float64Array): Float64Array {
  const { average } = gradientAt(fit.model, fit.place);
  const out = expected.map((value, at) => 2 * average[at] - value);
  curvature(fit, out);
  return out;
}

/** Covariances of the fixed effects and of the variance parameters, for tests and intervals. */
export type Precision = {
  readonly fit: RemlFit;
  /** Covariance of the variance parameters, zero for those held; undefined where it has none. */
  readonly variances: Float64Array | undefined;
  /** Covariance of the fixed effects in their basis: as fitted, or Kenward and Roger's. */
  readonly covariance: Float64Array;
  readonly method: DfMethod;
  /** phi M_i phi for each parameter: how the covariance phi turns with it. */
  readonly turns: readonly Float64Array[];
};

export type DfMethod = 'kenward-roger' | 'satterthwaite';

/**
 * Kenward and Roger's adjusted covariance, phi + 2 phi [sum W_ij (Q_ij - P_i phi P_j - R_ij / 4)] phi
 * (1997, Biometrics 53:983-997, eq. 3; the second-order terms R_ij only where there is a rho).
 */
function adjusted(fit: RemlFit, { m, q, second }: Pieces, variances: Float64Array): Float64Array {
  const { size, p } = fit.model;
  const { phi } = fit.place;
  const inner = new Float64Array(p * p);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) {
      const weight = variances[i * size + j];
      if (weight === 0) continue;
      const between = multiply(multiply(m[i], phi, p), m[j], p);
      const bend = second.get(i * size + j);
      for (let k = 0; k < inner.length; k++) {
        inner[k] += weight * (q[i * size + j][k] - between[k] - (bend ? bend[k] / 4 : 0));
      }
    }
  }
  const outer = multiply(multiply(phi, inner, p), phi, p);
  // Half of each side: rounding must not leave it lopsided.
  return phi.map((value, at) => {
    const mirror = (at % p) * p + Math.floor(at / p);
    return value + outer[at] + outer[mirror];
  });
}

/**
 * How well a REML fit knows its fixed effects. `kenward-roger`: covariance of the variance parameters
 * from the expected information, those at zero included, as they were estimated; `satterthwaite`:
 * from the observed information, those at an end of their range left out, as known.
 *
 * @throws RangeError for a fit by maximum likelihood.
 */
export function precisionOf(fit: RemlFit, method: DfMethod): Precision {
  if (!fit.model.reml) throw new RangeError('tests of fixed effects need a fit by REML');
  const pieces = piecesOf(fit);
  const expected = expectedInformation(fit, pieces);
  const { phi } = fit.place;
  const { p } = fit.model;
  const turns = pieces.m.map((m) => multiply(multiply(phi, m, p), phi, p));
  if (method === 'satterthwaite') {
    const observed = observedInformation(fit, expected);
    const variances = freeInverse(observed, fit.held) ?? freeInverse(expected, fit.held);
    return { fit, variances, covariance: phi, method, turns };
  }
  const { serial, random } = fit.model;
  // A rho at the end of its range has no information of its own; a variance at zero has.
  const fixed = fit.held.map((held, i) => held && serial !== undefined && i > random.length);
  const variances = freeInverse(expected, fixed);
  const covariance = variances ? adjusted(fit, pieces, variances) : phi;
  return { fit, variances, covariance, method, turns };
}
