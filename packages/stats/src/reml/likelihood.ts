import { cholesky, dot } from '../mixed/dense';
import {
  covarianceOf,
  type Slope,
  slopesOf,
  type Theta,
  timesSlope,
  traceWith,
} from './covariance';
import type { Model, Part } from './model';

/** A part with its covariance inverted. */
export type Solved = {
  readonly part: Part;
  /** Inverse covariance W, size x size. */
  readonly w: Float64Array;
  /** W Q, size x p. */
  readonly wq: Float64Array;
  /** W (y - fixed part). */
  readonly s: Float64Array;
};

/** The model at one set of variance parameters. */
export type Place = {
  readonly theta: Theta;
  readonly logLik: number;
  readonly solved: readonly Solved[];
  /** (Q' W Q)^-1, the covariance of `gamma`, p x p. */
  readonly phi: Float64Array;
  /** Generalised least squares in the basis Q. */
  readonly gamma: Float64Array;
};

/** Inverse and log determinant from a lower Cholesky factor, n x n. */
function invertFactor(l: Float64Array, n: number): { inverse: Float64Array; logDet: number } {
  let logDet = 0;
  const root = new Float64Array(n * n);
  for (let c = 0; c < n; c++) {
    logDet += 2 * Math.log(l[c * n + c]);
    root[c * n + c] = 1 / l[c * n + c];
    for (let i = c + 1; i < n; i++) {
      let sum = 0;
      for (let k = c; k < i; k++) sum -= l[i * n + k] * root[k * n + c];
      root[i * n + c] = sum / l[i * n + i];
    }
  }
  const inverse = new Float64Array(n * n);
  for (let k = 0; k < n; k++) {
    for (let i = 0; i <= k; i++) {
      const weight = root[k * n + i];
      if (weight === 0) continue;
      for (let j = 0; j <= i; j++) inverse[i * n + j] += weight * root[k * n + j];
    }
  }
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) inverse[j * n + i] = inverse[i * n + j];
  return { inverse, logDet };
}

/** a x b, a size x size, b size x width. */
function product(a: Float64Array, b: Float64Array, size: number, width: number): Float64Array {
  const out = new Float64Array(size * width);
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < size; k++) {
      const weight = a[i * size + k];
      if (weight === 0) continue;
      for (let j = 0; j < width; j++) out[i * width + j] += weight * b[k * width + j];
    }
  }
  return out;
}

/** out += a' b, a and b with `size` rows and p columns. */
export function addCross(out: Float64Array, a: Float64Array, b: Float64Array, p: number): void {
  for (let row = 0; row < a.length; row += p) {
    for (let i = 0; i < p; i++) {
      const weight = a[row + i];
      if (weight === 0) continue;
      for (let j = 0; j < p; j++) out[i * p + j] += weight * b[row + j];
    }
  }
}

/** out += a' b for a product known to be symmetric: the lower half, then mirrored by `mirror`. */
function addHalfCross(out: Float64Array, a: Float64Array, b: Float64Array, p: number): void {
  for (let row = 0; row < a.length; row += p) {
    for (let i = 0; i < p; i++) {
      const weight = a[row + i];
      if (weight === 0) continue;
      const at = i * p;
      for (let j = 0; j <= i; j++) out[at + j] += weight * b[row + j];
    }
  }
}

function mirror(a: Float64Array, p: number): void {
  for (let i = 0; i < p; i++) for (let j = 0; j < i; j++) a[j * p + i] = a[i * p + j];
}

type Inverted = { part: Part; w: Float64Array; wq: Float64Array };

type Inverse = { readonly inverse: Float64Array; readonly logDet: number };

/** The parts with their covariances inverted, once a kind; undefined where one is no covariance. */
function invertParts(model: Model, theta: Theta) {
  const kinds: Inverse[] = [];
  const parts: Inverted[] = [];
  let logDet = 0;
  for (const part of model.parts) {
    if (part.kind === kinds.length) {
      const l = cholesky(covarianceOf(model, part, theta), part.size);
      if (!l) return undefined;
      kinds.push(invertFactor(l, part.size));
    }
    const { inverse: w, logDet: mine } = kinds[part.kind];
    logDet += mine;
    parts.push({ part, w, wq: product(w, part.q, part.size, model.p) });
  }
  return { parts, logDet, inverses: kinds.map(({ inverse }) => inverse) };
}

function rowsTimes(rows: Float64Array, gamma: Float64Array): Float64Array {
  const p = gamma.length;
  return Float64Array.from({ length: rows.length / p }, (_, a) => {
    let sum = 0;
    for (let j = 0; j < p; j++) sum += rows[a * p + j] * gamma[j];
    return sum;
  });
}

function leastSquares(model: Model, parts: readonly Inverted[]) {
  const { p } = model;
  const a = new Float64Array(p * p);
  const b = new Float64Array(p);
  for (const { part, wq } of parts) {
    addHalfCross(a, part.q, wq, p);
    for (let i = 0; i < part.size; i++) {
      for (let j = 0; j < p; j++) b[j] += wq[i * p + j] * part.y[i];
    }
  }
  mirror(a, p);
  const l = cholesky(a, p);
  if (!l) return undefined;
  const { inverse: phi, logDet } = invertFactor(l, p);
  const gamma = product(phi, b, p, 1);
  return { phi, logDet, gamma };
}

function divide(all: readonly Float64Array[], by: number): void {
  for (const values of all) for (let k = 0; k < values.length; k++) values[k] /= by;
}

/** The same place with every variance multiplied by q, which leaves `gamma` where it is. */
function rescaled(theta: Theta, q: number, rho: boolean): Theta {
  return theta.map((value, i) => (rho && i === theta.length - 1 ? value : value * q));
}

/**
 * The log-likelihood at `theta` (Harville 1977, JASA 72:320-340), and what its slopes need:
 * REML -1/2 [(n - p) log 2 pi + log |V| + log |X'WX| + r'Wr], ML without the third term and with n
 * for n - p. With `best` every variance is first multiplied by one number, the one that raises it
 * most, r'Wr / (n - p). Undefined where the parameters give no covariance.
 */
export function placeAt(model: Model, theta: Theta, best: boolean): Place | undefined {
  const { n, p, reml, serial } = model;
  const inverted = invertParts(model, theta);
  const fixed = inverted && leastSquares(model, inverted.parts);
  if (!inverted || !fixed) return undefined;
  let rss = 0;
  const solved = inverted.parts.map(({ part, w, wq }): Solved => {
    const expected = rowsTimes(part.q, fixed.gamma);
    const r = part.y.map((value, i) => value - expected[i]);
    const s = product(w, r, part.size, 1);
    rss += dot(r, s);
    return { part, w, wq, s };
  });
  const df = reml ? n - p : n;
  const q = best ? rss / df : 1;
  if (!(q > 0 && Number.isFinite(q))) return undefined;
  const logDets =
    model.logDetSpread + inverted.logDet + (reml ? fixed.logDet + model.logDetFixed : 0);
  const logLik = -0.5 * (df * Math.log(2 * Math.PI * q) + logDets + rss / q);
  if (q !== 1) {
    divide(inverted.inverses, q);
    for (const { wq, s } of solved) divide([wq, s], q);
    divide([fixed.phi], 1 / q);
  }
  return {
    theta: q === 1 ? theta : rescaled(theta, q, serial !== undefined),
    logLik,
    solved,
    phi: fixed.phi,
    gamma: fixed.gamma,
  };
}

/** P = W - W Q phi Q' W within a part (its blocks between parts are not needed), size x size. */
export function projection({ part, w, wq }: Solved, phi: Float64Array, p: number): Float64Array {
  const { size } = part;
  const out = w.slice();
  const half = new Float64Array(p);
  for (let a = 0; a < size; a++) {
    half.fill(0);
    for (let k = 0; k < p; k++) {
      const weight = wq[a * p + k];
      if (weight === 0) continue;
      const row = k * p;
      for (let j = 0; j < p; j++) half[j] += weight * phi[row + j];
    }
    for (let b = 0; b <= a; b++) {
      const row = b * p;
      let sum = 0;
      for (let j = 0; j < p; j++) sum += half[j] * wq[row + j];
      out[a * size + b] -= sum;
      out[b * size + a] = out[a * size + b];
    }
  }
  return out;
}

export type Gradient = {
  /** Of the log-likelihood by each parameter. */
  readonly slope: Float64Array;
  /** s' V_i P V_j s / 2, the average of observed and expected information (linear parameters). */
  readonly average: Float64Array;
};

/**
 * Gradient -1/2 [tr(P V_i) - s' V_i s] (W in place of P for ML) and average information (Gilmour,
 * Thompson & Cullis 1995, Biometrics 51:1440-1450).
 */
export function gradientAt(model: Model, place: Place): Gradient {
  const { size, p, reml } = model;
  const slope = new Float64Array(size);
  const average = new Float64Array(size * size);
  const kinds: Slope[][] = [];
  const across = Array.from({ length: size }, () => new Float64Array(p));
  for (const one of place.solved) {
    const { part, w, wq, s } = one;
    const slopes = (kinds[part.kind] ??= slopesOf(model, part, place.theta));
    const trace = reml ? projection(one, place.phi, p) : w;
    const f = slopes.map((of: Slope) => timesSlope(of, s, 1));
    const wf = f.map((column) => product(w, column, part.size, 1));
    slopes.forEach((of, i) => {
      slope[i] -= (traceWith(of, trace, part.size) - dot(s, f[i])) / 2;
      for (let j = 0; j <= i; j++) average[i * size + j] += dot(f[j], wf[i]) / 2;
      for (let a = 0; a < part.size; a++) {
        for (let j = 0; j < p; j++) across[i][j] += wq[a * p + j] * f[i][a];
      }
    });
  }
  for (let i = 0; i < size; i++) {
    const turned = product(place.phi, across[i], p, 1);
    for (let j = 0; j <= i; j++) {
      average[i * size + j] -= dot(turned, across[j]) / 2;
      average[j * size + i] = average[i * size + j];
    }
  }
  return { slope, average };
}
