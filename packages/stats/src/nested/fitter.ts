import type { Design } from '../mixed/design';
import type { GroupTerm } from '../mixed/groups';
import { type PooledRows, poolRows } from './rows';
import { newSearch, type Search, searchOptimum } from './search';
import {
  type CellCounts,
  countCells,
  newCellCounts,
  pseudoWeight,
  separates,
  startCoefficients,
} from './separation';
import { newSurface } from './state';
import { evaluateSurface } from './surface';
import { nestedTree } from './tree';

/** Rows of counts with their fixed effects and nested groupings; all that stays the same. */
export type NestedLayout = {
  readonly design: Design;
  /** Random intercepts, each grouping inside the next in some order; at least one. */
  readonly terms: readonly GroupTerm[];
};

export type NestedFitter = {
  readonly pooled: PooledRows;
  readonly search: Search;
  readonly cells: CellCounts;
  /** Levels of the tree to the terms given: sd of term k is `sd()[k]`. */
  readonly sd: (into?: Float64Array) => Float64Array;
  /** Whether the last counts needed the penalty against separation. */
  readonly penalised: () => boolean;
  readonly converged: () => boolean;
  /**
   * Fits counts, row by row in the layout's order, and returns the marginal log-likelihood without
   * penalty and without binomial coefficients (which no comparison of two fits needs). `trials` may
   * differ from fit to fit. Nothing is allocated; what the last fit found stays in `search`.
   */
  readonly fit: (
    successes: ArrayLike<number>,
    trials: ArrayLike<number>,
    start?: Float64Array,
  ) => number;
};

/** Standard deviation of every level at the start: about what beds show. */
const START_SD = 0.35;
/** Half the Newton decrement at which a search has arrived. */
const ARRIVED = 1e-6;
/** From zero, these deviations are tried, in case the likelihood rises further out. */
const PROBES = [0.1, 0.3, 0.8];

/** A better start with one of the zero deviations away from zero, put into the search; else false. */
const escapes = (s: Search): boolean => {
  const { surface, point, trial } = s;
  for (let k = 0; k < surface.levels; k++) {
    if (point[k] !== 0) continue;
    for (const probe of PROBES) {
      trial.set(point);
      trial[k] = probe;
      if (evaluateSurface(surface, trial, undefined) > s.value + 1e-7) {
        point.set(trial);
        return true;
      }
    }
  }
  return false;
};

/** Searches from the start, and again where a zero turns out to be the lower of two maxima. */
const climbOut = (s: Search): void => {
  searchOptimum(s);
  let iterations = s.iterations;
  for (let attempt = 0; attempt < 3 && escapes(s); attempt++) {
    searchOptimum(s);
    iterations += s.iterations;
  }
  s.iterations = iterations;
  s.value = evaluateSurface(s.surface, s.point, s.gradient);
};

/**
 * A fitter of binomial logit models with nested random intercepts to counts on one layout: made once,
 * then refitted to as many counts as wanted without allocating. Maximum likelihood over standard
 * deviations and coefficients jointly by the Laplace approximation, the definition of
 * `fitBinomialMixed`. Undefined where groupings cross or there are none.
 */
export const createNestedFitter = (layout: NestedLayout): NestedFitter | undefined => {
  const tree = nestedTree(layout.terms);
  if (!tree) return undefined;
  const pooled = poolRows(layout.design, tree);
  const surface = newSurface(pooled);
  const search = newSearch(surface);
  const cells = newCellCounts(pooled);
  const { poolOf } = pooled;
  const coefficients = search.point.subarray(surface.levels);
  const fit: NestedFitter['fit'] = (successes, trials, start) => {
    surface.y.fill(0);
    surface.n.fill(0);
    for (let i = 0; i < poolOf.length; i++) {
      surface.y[poolOf[i]] += successes[i];
      surface.n[poolOf[i]] += trials[i];
    }
    countCells(cells, surface.y, surface.n);
    surface.pseudo = separates(cells) ? pseudoWeight(pooled) : 0;
    if (start) search.point.set(start);
    else {
      search.point.fill(START_SD, 0, surface.levels);
      startCoefficients(cells, coefficients);
    }
    surface.acc.fill(0);
    climbOut(search);
    return search.value - surface.penalty;
  };
  return {
    pooled,
    search,
    cells,
    fit,
    sd: (into = new Float64Array(surface.levels)) => {
      tree.termOf.forEach((k, level) => {
        into[k] = search.point[level];
      });
      return into;
    },
    penalised: () => surface.pseudo > 0,
    converged: () => search.left < ARRIVED && Number.isFinite(search.value),
  };
};
