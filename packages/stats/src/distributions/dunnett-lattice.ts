import type { Correlation } from './correlation';
import { cellPoints, generatingVector } from './korobov';
import { normalQuantile, upperTail } from './normal';
import type { Estimate } from './outside-table';

/** Primes: points of the rule, tried in turn. */
const SIZES = [509, 2039, 8191];
/** Copies of the lattice, each with a shift of its own; their spread measures the error. */
const COPIES = 8;
/** Least variance a contrast keeps given those before it; a singular matrix is raised to this. */
const LEAST_PIVOT = 1e-9;

/** Cholesky factor by rows, in the order of the conditioning. */
export type Triangle = readonly Float64Array[];

/**
 * Cholesky factor with the least determined contrast taken first at each step, so that the nearly
 * determined ones come last, where they move the product least (the ordering of Gibson, Glasbey & Elston
 * 1994 for limits that are all alike).
 */
export function pivotedTriangle(correlation: Correlation): Triangle {
  const m = correlation.length;
  const left = correlation.map(() => 1);
  const order = correlation.map((_, i) => i);
  const rows = correlation.map(() => new Float64Array(m));
  for (let k = 0; k < m; k++) {
    let best = k;
    for (let i = k + 1; i < m; i++) if (left[order[i]] > left[order[best]] + 1e-12) best = i;
    [order[k], order[best]] = [order[best], order[k]];
    const pivot = rows[order[k]];
    pivot[k] = Math.sqrt(Math.max(LEAST_PIVOT, left[order[k]]));
    for (let i = k + 1; i < m; i++) {
      const row = rows[order[i]];
      let sum = correlation[order[i]][order[k]];
      for (let j = 0; j < k; j++) sum -= row[j] * pivot[j];
      row[k] = sum / pivot[k];
      left[order[i]] -= row[k] * row[k];
    }
  }
  return order.map((i) => rows[i]);
}

/**
 * P(some |X_i| > w) at one point of the cube for X = triangle times independent normals: the sequential
 * conditioning of A. Genz (1992), J. Comput. Graph. Stat. 1:141-149, gathered as the outside.
 */
function outsideAt(w: number, rows: Triangle, point: Float64Array, drawn: Float64Array): number {
  const m = rows.length;
  let out = 0;
  for (let i = 0; i < m; i++) {
    const row = rows[i];
    let mean = 0;
    for (let k = 0; k < i; k++) mean += row[k] * drawn[k];
    const below = upperTail((w + mean) / row[i]);
    const beyond = below + upperTail((w - mean) / row[i]);
    out += (1 - out) * Math.min(1, beyond);
    if (1 - out < 1e-15 || i === m - 1) break;
    const share = below + point[i] * (1 - beyond);
    drawn[i] = normalQuantile(Math.min(1 - 1e-16, Math.max(1e-300, share)));
  }
  return out;
}

/** The mean of outsideAt over one copy of the lattice. */
function meanOver(w: number, rows: Triangle, points: Float64Array): number {
  const dimensions = rows.length - 1;
  const drawn = new Float64Array(dimensions);
  let sum = 0;
  for (let from = 0; from < points.length; from += dimensions) {
    sum += outsideAt(w, rows, points.subarray(from, from + dimensions), drawn);
  }
  return (sum * dimensions) / points.length;
}

/**
 * P(max |X_i| > w) for normals of any correlation, as a function of w, by shifted lattice rules with
 * sequential conditioning (Genz & Bretz 2002, J. Comput. Graph. Stat. 11:950-971). The lattice grows
 * until six standard errors over fixed shifts are within `target`, or no larger one is left; the error
 * reached is returned. The points are the same for every w, so the values are smooth in w.
 */
export function latticeOutside(rows: Triangle, target: number): (w: number) => Estimate {
  const dimensions = rows.length - 1;
  const made = new Map<number, readonly Float64Array[]>();
  const copiesOf = (size: number): readonly Float64Array[] => {
    const known = made.get(size);
    if (known) return known;
    const vector = generatingVector(size, dimensions);
    const copies = Array.from({ length: COPIES }, (_, i) => cellPoints(size, vector, i + 1));
    made.set(size, copies);
    return copies;
  };
  return (w) => {
    let estimate: Estimate = { p: 1, error: Infinity };
    for (const size of SIZES) {
      const values = copiesOf(size).map((points) => meanOver(w, rows, points));
      const p = values.reduce((a, b) => a + b, 0) / COPIES;
      const square = values.reduce((sum, v) => sum + (v - p) ** 2, 0);
      estimate = { p, error: 6 * Math.sqrt(square / (COPIES * (COPIES - 1))) };
      if (estimate.error <= target) break;
    }
    return estimate;
  };
}
