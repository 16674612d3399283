import type { Correlation } from './correlation';
import { factorOutside, type Standardised, standardise, workOf } from './dunnett-factors';
import { latticeOutside, pivotedTriangle } from './dunnett-lattice';
import { sparsePlaces } from './dunnett-places';
import { factorForm } from './factor-form';
import { upperTail } from './normal';
import { type OutsideTable, outsideTable } from './outside-table';
import { symmetricEigen } from './symmetric-eigen';

/** P(max |X_i| > w) for normals of any correlation; `bound` where it can only be too large. */
export type General = OutsideTable & { readonly route: 'factors' | 'lattice' | 'bound' };

/** Points to each panel of the table, fewer where the rule is dear and its own error larger. */
const SMOOTH = [26, 24, 16, 12];
const ROUGH = [16, 14, 10, 8];

/** A tolerance of the sparse grid, the work one evaluation may then take, and the table's points. */
type Effort = { readonly tolerance: number; readonly work: number; readonly points: number[] };

const EFFORTS: readonly Effort[] = [
  { tolerance: 1e-9, work: 1.5e4, points: SMOOTH },
  { tolerance: 1e-8, work: 5e4, points: SMOOTH },
  { tolerance: 1e-7, work: 2e5, points: SMOOTH },
  { tolerance: 1e-6, work: 4e5, points: SMOOTH },
  { tolerance: 1e-5, work: 2e6, points: ROUGH },
  { tolerance: 1e-4, work: 2.5e6, points: ROUGH },
];
const DEAREST = 2.5e6;
/** A rule is held against one of this many times its tolerance, where p-values are read. */
const COARSER = 4;
const COMPARED = [1, 1.7, 2.5, 3.3];
/** Of the tables, seen against the rules themselves. */
const SMOOTH_ERROR = 1e-8;
const ROUGH_ERROR = 1e-5;
/** Up to this error the factors are taken without trying the lattice. */
const GOOD = 1e-4;
/** The lattice is slow with more contrasts than this, and seldom better. */
const FEW = 8;
/** Largest error at which an integral is taken, and not an upper bound in its stead. */
const WORST = 3e-3;
const LATTICE_TARGET = 3e-5;
const MOST_BY_LATTICE = 24;
/** Shares by which correlations are drawn towards 0 for a bound, before all of it. */
const SHRINKS = [0.01, 0.1];
/** An eigenvalue below minus this is no rounding. */
const NEGATIVE = 1e-8;

/** Integration over all factors, or undefined where they are too many and too heavy. */
function byFactors(correlation: Correlation): OutsideTable | undefined {
  const decomposed = factorForm(correlation);
  if (!decomposed) return undefined;
  const form = standardise(decomposed);
  if (workOf(form, 1) > DEAREST) return undefined;
  const chooser = sparsePlaces(form);
  for (const { tolerance, work, points } of EFFORTS) {
    const most = Math.floor(work / workOf(form, 1));
    const places = chooser(tolerance, most);
    if (!places) continue;
    const coarser = chooser(tolerance * COARSER, most) ?? places;
    const off = COMPARED.map((w) =>
      Math.abs(factorOutside(w, form, places) - factorOutside(w, form, coarser)),
    );
    const ofTable = points === SMOOTH ? SMOOTH_ERROR : ROUGH_ERROR;
    const error = tolerance + 2 * Math.max(...off) + missError(form, decomposed.miss) + ofTable;
    if (error > WORST) return undefined;
    const outside = (w: number) => ({ p: factorOutside(w, form, places), error });
    return outsideTable(outside, points, unionBound(correlation.length));
  }
  return undefined;
}

/**
 * What correlations off by `miss` can change: each pair's term of Plackett's identity (1954, Biometrika
 * 41:351) is a density below 4 / (2 pi sqrt(1 - r^2)), here with 1 - r^2 at least the unique part.
 */
function missError({ spreads }: Standardised, miss: number): number {
  const pairs = (spreads.length * (spreads.length - 1)) / 2;
  return (pairs * miss) / Math.min(...spreads);
}

function unionBound(m: number): (w: number) => number {
  return (w) => Math.min(1, 2 * m * upperTail(w));
}

/** Sequential conditioning on lattices, or undefined where it would be slow or rough. */
function byLattice(correlation: Correlation): OutsideTable | undefined {
  const m = correlation.length;
  if (m > MOST_BY_LATTICE) return undefined;
  const outside = latticeOutside(pivotedTriangle(correlation), LATTICE_TARGET);
  // The error is largest in the body; if it is too large there, the table is not worth its time.
  if (outside(COMPARED[1]).error > WORST) return undefined;
  const { at, error } = outsideTable(outside, ROUGH, unionBound(m));
  return error > WORST ? undefined : { at, error: error + ROUGH_ERROR };
}

/**
 * An upper bound: drawing correlations towards 0 by one share makes P(max |X_i| > w) no smaller (Sidak
 * 1968, Ann. Math. Stat. 39:1425), so the least share whose integral is in reach is taken, and at worst
 * all of it, Sidak's bound for independent contrasts.
 */
function byBound(correlation: Correlation): OutsideTable {
  for (const shrink of SHRINKS) {
    const drawn = correlation.map((row, i) => row.map((r, j) => (i === j ? 1 : r * (1 - shrink))));
    const table = byFactors(drawn);
    // Raised by the error of the integral, it stays a bound.
    if (table) return { at: (w) => Math.min(1, table.at(w) + table.error), error: table.error };
  }
  const m = correlation.length;
  const at = (w: number) => -Math.expm1(m * Math.log1p(-Math.min(1, 2 * upperTail(w))));
  return { at, error: 0 };
}

function requireNoNegative(correlation: Correlation): void {
  const { values } = symmetricEigen(Float64Array.from(correlation.flat()), correlation.length);
  const least = Math.min(...values);
  if (least < -NEGATIVE) {
    throw new RangeError(
      `correlation must be positive definite; its smallest eigenvalue is ${least.toPrecision(3)}`,
    );
  }
}

/**
 * P(max |X_i| > w) for normals of any correlation: by factors where they are few or light (every
 * comparison with a control in one linear model comes near that), else by lattice rules, whichever errs
 * less, else as an upper bound (many contrasts far from any factors). Throws a RangeError when the
 * matrix has a negative eigenvalue.
 */
export function generalOutside(correlation: Correlation): General {
  const factors = byFactors(correlation);
  if (factors && (factors.error < GOOD || correlation.length > FEW)) {
    return { ...factors, route: 'factors' };
  }
  requireNoNegative(correlation);
  const lattice = byLattice(correlation);
  if (factors && !(lattice && lattice.error < factors.error)) {
    return { ...factors, route: 'factors' };
  }
  if (lattice) return { ...lattice, route: 'lattice' };
  return { ...byBound(correlation), route: 'bound' };
}
