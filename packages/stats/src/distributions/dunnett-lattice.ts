import { type Correlation, residualFactor } from './correlation';
import { normalDensity, normalQuantile, upperTail } from './normal';
import { overScale, type ScaleHints } from './scale-mixture';

/** A probability with a bound on its error, six standard errors over shifts of the rule. */
export type Estimate = { readonly p: number; readonly error: number };

/** Absolute error aimed at, well inside 1e-6. */
const TARGET = 2e-7;
/** Primes: points of the rule for each value of the scale and the factor, tried in turn. */
const SIZES = [61, 251, 1021];
/** Without a scale to integrate over there is time for more. */
const SIZES_ONE_SCALE = [1021, 4093, 8191];
const STRETCHES = 8;
/** Cells this far apart are shifted differently in every coordinate. */
const FAR_ALONG = 10_000_019;
/** Variance each contrast keeps once the common factor is out, so that nothing is nearly determined. */
const LEAST_PIVOT = 0.02;
const REACH = 6.5;
/** -log of the error of the outer rules, about 1e-10: they must only stay below the lattice's. */
const OUTER_LOG_ERROR = 23;
const OUTER_STEP = 0.9;

// Square roots of primes: their multiples fill the cube evenly (Richtmyer 1951), here as shifts.
const SHIFTS = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47].map(
  (prime) => Math.sqrt(prime) % 1,
);

/** The common factor taken out of the matrix, and what is left. */
export type Split = {
  readonly loadings: readonly number[];
  readonly factor: readonly Float64Array[];
};

/**
 * Takes out the nearest common factor, shrunk until what is left is safely positive definite.
 * Throws a RangeError when the matrix itself is not positive definite.
 */
export function splitCommonFactor(correlation: Correlation, loadings: readonly number[]): Split {
  for (let shrink = 0.995; shrink > 0.2; shrink *= 0.95) {
    const shrunk = loadings.map((l) => l * shrink);
    const factor = residualFactor(correlation, shrunk, LEAST_PIVOT);
    if (factor) return { loadings: shrunk, factor };
  }
  const none = loadings.map(() => 0);
  const factor = residualFactor(correlation, none, 1e-10);
  if (!factor) throw new RangeError('correlation must be positive definite; it is singular');
  return { loadings: none, factor };
}

/** A lattice rule of `size` points along one generating vector, and the cell whose shift comes next. */
type Lattice = { cell: number; readonly size: number; readonly vector: readonly number[] };

const vectors = new Map<string, readonly number[]>();

/**
 * Korobov's generating vector (1, a, a^2, ...) / size with the smallest worst-case error P_2 for smooth
 * periodic integrands (Sloan & Joe 1994, Lattice Methods for Multiple Integration, section 4.5).
 */
function generatingVector(size: number, dimensions: number): readonly number[] {
  const name = `${size}:${dimensions}`;
  const known = vectors.get(name);
  if (known) return known;
  let best: number[] = [];
  let least = Infinity;
  for (let a = 2; a <= (size - 1) / 2; a++) {
    const powers = [1];
    while (powers.length < dimensions) powers.push((powers[powers.length - 1] * a) % size);
    const error = worstCase(size, powers, least);
    if (error < least) {
      least = error;
      best = powers;
    }
  }
  const vector = best.map((power) => power / size);
  vectors.set(name, vector);
  return vector;
}

/** Sum over the lattice of prod(1 + 2 pi^2 B_2(x)), given up once above `enough`. */
function worstCase(size: number, powers: readonly number[], enough: number): number {
  let sum = 0;
  for (let i = 0; i < size && sum < enough; i++) {
    let product = 1;
    for (const power of powers) {
      const x = ((i * power) % size) / size;
      product *= 1 + 2 * Math.PI * Math.PI * (x * x - x + 1 / 6);
    }
    sum += product;
  }
  return sum;
}

/**
 * P(some |Y_i| > w) at one point of the cube for Y = mean + factor X, X independent normals: the
 * sequential conditioning of A. Genz (1992), J. Comput. Graph. Stat. 1:141-149, gathered as the outside.
 */
function outsideAt(w: number, z: number, split: Split, point: Float64Array): number {
  const { loadings, factor } = split;
  const m = loadings.length;
  let out = 0;
  for (let i = 0; i < m; i++) {
    const row = factor[i];
    let mean = loadings[i] * z;
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

// Scratch space of outsideAt, written before it is read in every call.
const drawn = new Float64Array(SHIFTS.length + 1);

/** The mean of outsideAt over a freshly shifted lattice, given the factor at z. */
function outsideGiven(w: number, z: number, split: Split, lattice: Lattice): number {
  const { size, vector } = lattice;
  lattice.cell++;
  const shift = vector.map((_, j) => lattice.cell * SHIFTS[j]);
  const point = new Float64Array(vector.length);
  let sum = 0;
  for (let n = 0; n < size; n++) {
    for (let j = 0; j < vector.length; j++) {
      // The baker's transformation makes the integrand periodic, which doubles the order of the rule.
      const raw = n * vector[j] + shift[j];
      point[j] = Math.abs(2 * (raw - Math.floor(raw)) - 1);
    }
    sum += outsideAt(w, z, split, point);
  }
  return sum / size;
}

/** Integral over the common factor by the trapezoidal rule; it is even in z, so half the line. */
function outsideOf(w: number, split: Split, lattice: Lattice): number {
  const { loadings } = split;
  const largest = Math.max(...loadings.map(Math.abs));
  if (largest === 0) return outsideGiven(w, 0, split, lattice);
  const step = OUTER_STEP * Math.sqrt(1 - largest * largest);
  const last = Math.ceil((largest * w + REACH) / step);
  let sum = 0;
  for (let i = 0; i <= last; i++) {
    const weight = (i === 0 ? 1 : 2) * step * normalDensity(i * step);
    const term = weight * outsideGiven(w, i * step, split, lattice);
    sum += term;
    if (i * step > largest * w && term < 1e-12 * sum) break;
  }
  return sum;
}

/**
 * P(max |T_i| > t) for a multivariate t of any correlation, by deterministic integration in three layers:
 * the scale and the nearest common factor by trapezoidal rules, and what the factor leaves (nearly
 * independent in blocks with a few lost plots, so nearly constant) by shifted lattice rules with
 * sequential conditioning (Genz & Bretz 2002, J. Comput. Graph. Stat. 11:950-971). The lattice grows
 * until six standard errors over fixed shifts are within 2e-7, or the work limit is met; the error
 * reached is returned. Throws a RangeError for more than sixteen contrasts.
 */
export function latticeUpper(t: number, split: Split, df: number, hints: ScaleHints): Estimate {
  const dimensions = split.loadings.length - 1;
  if (dimensions > SHIFTS.length) {
    throw new RangeError(
      `contrasts of general correlation must be at most ${SHIFTS.length + 1}; got ${dimensions + 1}`,
    );
  }
  let estimate: Estimate = { p: 1, error: Infinity };
  for (const size of df === Infinity ? SIZES_ONE_SCALE : SIZES) {
    const vector = generatingVector(size, dimensions);
    estimate = estimateWith(t, split, { df, hints, size, vector });
    if (estimate.error <= TARGET) break;
  }
  return estimate;
}

type Work = {
  readonly df: number;
  readonly hints: ScaleHints;
  readonly size: number;
  readonly vector: readonly number[];
};

function estimateWith(t: number, split: Split, { df, hints, size, vector }: Work): Estimate {
  const outer = { ...hints, logError: OUTER_LOG_ERROR };
  const values: number[] = [];
  for (let i = 0; i < STRETCHES; i++) {
    const lattice: Lattice = { cell: i * FAR_ALONG, size, vector };
    values.push(overScale(df, outer, (s) => outsideOf(t * s, split, lattice)));
  }
  const p = values.reduce((a, b) => a + b, 0) / STRETCHES;
  const square = values.reduce((sum, v) => sum + (v - p) ** 2, 0);
  return { p, error: 6 * Math.sqrt(square / (STRETCHES * (STRETCHES - 1))) };
}
