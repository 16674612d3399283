/**
 * A design's columns and a response, triangulated.
 *
 * With X = Q R for the kept columns, Q'y holds one independent effect for each kept column, so a
 * term's sequential sum of squares is the sum of its squared effects.
 */
export type Triangle = {
  readonly columns: number;
  readonly rank: number;
  /** For each column its place among the kept ones, or -1 where it was set aside. */
  readonly place: Int32Array;
  /** One run of `rank` numbers for each column: the column in Q's first `rank` directions. */
  readonly r: Float64Array;
  /** First `rank` entries of Q'y. */
  readonly effects: Float64Array;
  /** Sum of squares of the rest of Q'y. */
  readonly residualSs: number;
  readonly residuals: Float64Array;
};

/** A column is set aside when less than this share of its length is new (the usual 1e-7). */
const REPEATS = 1e-7;

type Reflectors = {
  readonly matrix: Float64Array;
  readonly n: number;
  /** Where in `matrix` the column of each reflector begins. */
  readonly start: Int32Array;
  readonly beta: Float64Array;
};

/** Applies reflector `k` (rows k.. of its column) to rows k.. of the column of `target` at `at`. */
function reflect(by: Reflectors, k: number, target: Float64Array, at: number): void {
  const { matrix, n } = by;
  const v = by.start[k];
  let dot = 0;
  for (let i = k; i < n; i++) dot += matrix[v + i] * target[at + i];
  if (dot === 0) return;
  dot *= by.beta[k];
  for (let i = k; i < n; i++) target[at + i] -= dot * matrix[v + i];
}

function lengthOf(values: Float64Array, from: number, to: number): number {
  let ss = 0;
  for (let i = from; i < to; i++) ss += values[i] * values[i];
  return Math.sqrt(ss);
}

/** Turns rows k.. of the column at `at` into a reflector that maps it on its first entry. */
function makeReflector(by: Reflectors, k: number, at: number, length: number): number {
  const { matrix } = by;
  // The sign that adds lengths, never the one that cancels digits.
  const diagonal = matrix[at + k] > 0 ? -length : length;
  matrix[at + k] -= diagonal;
  by.start[k] = at;
  by.beta[k] = -1 / (diagonal * matrix[at + k]);
  return diagonal;
}

function residualsOf(by: Reflectors, turned: Float64Array, rank: number): Float64Array {
  const residuals = turned.slice();
  residuals.fill(0, 0, Math.min(rank, by.n));
  for (let k = rank - 1; k >= 0; k--) reflect(by, k, residuals, 0);
  return residuals;
}

/**
 * Householder QR of a design in the order of its columns; a column that repeats earlier ones is
 * set aside, not reordered, so the terms keep their order (Golub & Van Loan, Matrix Computations,
 * 4th ed., section 5.2; setting aside by relative length as regression programs do).
 *
 * `matrix` holds the columns one after another, n rows each, and is overwritten; so is `y`.
 */
export function triangulate(matrix: Float64Array, y: Float64Array): Triangle {
  const n = y.length;
  const columns = matrix.length / n;
  const most = Math.min(n, columns);
  const by = { matrix, n, start: new Int32Array(most), beta: new Float64Array(most) };
  const diagonals = new Float64Array(most);
  const place = new Int32Array(columns).fill(-1);
  let rank = 0;
  for (let j = 0; j < columns; j++) {
    const at = j * n;
    const whole = lengthOf(matrix, at, at + n);
    for (let k = 0; k < rank; k++) reflect(by, k, matrix, at);
    const fresh = lengthOf(matrix, at + rank, at + n);
    if (fresh <= REPEATS * whole) continue;
    diagonals[rank] = makeReflector(by, rank, at, fresh);
    reflect(by, rank, y, 0);
    place[j] = rank++;
  }
  const r = new Float64Array(columns * rank);
  for (let j = 0; j < columns; j++) {
    const k = place[j];
    const top = k < 0 ? rank : k;
    for (let i = 0; i < top; i++) r[j * rank + i] = matrix[j * n + i];
    if (k >= 0) r[j * rank + k] = diagonals[k];
  }
  const residualLength = lengthOf(y, rank, n);
  return {
    columns,
    rank,
    place,
    r,
    effects: y.slice(0, rank),
    residualSs: residualLength * residualLength,
    residuals: residualsOf(by, y, rank),
  };
}

/**
 * Solves R'u = l for the kept columns: u'(Q'y) is then the estimate of the linear form l, and u'v
 * times the residual variance the covariance of two forms. Undefined when l is not estimable, that
 * is when the columns set aside do not follow from the kept ones in l as they do in the design
 * (Searle 1971, Linear Models, section 5.4: l must lie in the row space of X).
 */
export function solveForm(triangle: Triangle, form: Float64Array): Float64Array | undefined {
  const { columns, rank, place, r } = triangle;
  const u = new Float64Array(rank);
  for (let j = 0; j < columns; j++) {
    const k = place[j];
    if (k < 0) continue;
    let rest = form[j];
    for (let i = 0; i < k; i++) rest -= r[j * rank + i] * u[i];
    u[k] = rest / r[j * rank + k];
  }
  for (let j = 0; j < columns; j++) {
    if (place[j] >= 0) continue;
    let follows = 0;
    let size = Math.abs(form[j]);
    for (let i = 0; i < rank; i++) {
      const part = r[j * rank + i] * u[i];
      follows += part;
      size += Math.abs(part);
    }
    if (Math.abs(form[j] - follows) > 1e-8 * Math.max(size, 1)) return undefined;
  }
  return u;
}
