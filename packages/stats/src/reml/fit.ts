import type { Missing } from '../linear/spread';
import type { LinearFit } from '../linear/fit';
import { type Climb, climb } from './climb';
import type { Theta } from './covariance';
import type { LeftOut } from './groupings';
import { type Place, placeAt } from './likelihood';
import { layOutModel, type Model, type RemlInput } from './model';

/** A random term with its variance; exactly 0 where the data ask for none (or less than none). */
export type VarianceComponent = {
  readonly name: string;
  readonly variance: number;
  /** Square root of the variance; undefined where it was allowed below zero and is. */
  readonly sd: number | undefined;
};

export type SerialFit = {
  readonly kind: 'ar1' | 'car1';
  /** Correlation of residuals one unit of time apart. */
  readonly rho: number;
  /** That unit, in the units of `times`: the smallest gap. */
  readonly unit: number;
};

export type RemlFit = {
  readonly known: true;
  readonly n: number;
  /** Rank of the fixed effects. */
  readonly rank: number;
  readonly method: 'reml' | 'ml';
  readonly logLik: number;
  readonly components: readonly VarianceComponent[];
  readonly leftOut: readonly LeftOut[];
  readonly residual: { readonly variance: number; readonly sd: number };
  readonly serial: SerialFit | undefined;
  /** Least squares of the same fixed effects, for names, levels and estimability. */
  readonly linear: LinearFit;
  readonly how: {
    readonly method: string;
    readonly iterations: number;
    readonly starts: number;
    readonly converged: boolean;
  };
  readonly model: Model;
  readonly place: Place;
  /** Variance parameters that stand at an end of their range. */
  readonly held: readonly boolean[];
};

/** No variance can be known from such values; `why` as in `Spread`. */
export type RemlRefusal = {
  readonly known: false;
  readonly why: Missing;
  readonly linear: LinearFit;
};

/** Shares of the variance that random terms start from, and correlations: the best two are climbed. */
const SHARES = [0.3, 0.02, 0.8];
const RHOS = [0.1, 0.5, 0.85, -0.3];

function startOf(model: Model, share: number, rho: number | undefined): Theta {
  const terms = model.random.length;
  const theta = new Float64Array(model.size);
  theta.fill(terms === 0 ? 0 : share / terms, 0, terms);
  theta[terms] = terms === 0 ? 1 : 1 - share;
  if (rho !== undefined) theta[terms + 1] = rho;
  return theta;
}

function startsOf(model: Model): Theta[] {
  const shares = model.random.length === 0 ? [0] : SHARES;
  const { serial } = model;
  if (!serial) return shares.map((share) => startOf(model, share, undefined));
  const rhos = serial.kind === 'ar1' ? RHOS : RHOS.filter((rho) => rho > 0);
  return shares.flatMap((share) => rhos.map((rho) => startOf(model, share, rho)));
}

/** The highest of the climbs from the likeliest starts; with one valley to search, from one. */
function bestClimb(model: Model): { best: Climb; starts: number } {
  const starts = startsOf(model)
    .flatMap((theta) => placeAt(model, theta, true) ?? [])
    .sort((a, b) => b.logLik - a.logLik)
    .slice(0, model.serial || model.random.length > 1 ? 2 : 1);
  const climbs = starts.flatMap(({ theta }) => climb(model, theta) ?? []);
  const best = climbs.reduce((a, b) => (b.place.logLik > a.place.logLik ? b : a));
  return { best, starts: starts.length };
}

const sdOf = (variance: number): number | undefined =>
  variance < 0 ? undefined : Math.sqrt(variance);

/**
 * Linear mixed model by REML (or ML): fixed effects, random intercepts, and residuals of one subject
 * that fade with the gap in time (Patterson & Thompson 1971, Biometrika 58:545-554; Harville 1977).
 * Definitions of the log-likelihoods as in R's lme4 and nlme. Where no variance can be known, a
 * refusal with the reason of least squares.
 *
 * @throws RangeError for input that is no data: see `layOutModel`.
 */
export function fitReml(input: RemlInput): RemlFit | RemlRefusal {
  const laid = layOutModel(input);
  if (!laid.known) return laid;
  const { model } = laid;
  const { best, starts } = bestClimb(model);
  const { place } = best;
  const terms = model.random.length;
  const variance = place.theta[terms];
  return {
    known: true,
    n: model.n,
    rank: model.p,
    method: model.reml ? 'reml' : 'ml',
    logLik: place.logLik,
    components: model.random.map(({ name }, k) => {
      const mine = place.theta[k];
      return { name, variance: mine, sd: sdOf(mine) };
    }),
    leftOut: model.leftOut,
    residual: { variance, sd: Math.sqrt(variance) },
    serial: model.serial && {
      kind: model.serial.kind,
      rho: place.theta[terms + 1],
      unit: model.serial.unit,
    },
    linear: model.linear,
    how: {
      method: 'average information, Newton steps within bounds',
      iterations: best.steps,
      starts,
      converged: best.converged,
    },
    model,
    place,
    held: best.held,
  };
}
