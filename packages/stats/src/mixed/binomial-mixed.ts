import { binomialLikelihood } from './binomial-likelihood';
import { type MixedFitParts, mixedFitParts } from './coefficients';
import { type Counts, pick, usableRows } from './counts';
import {
  type Design,
  fixedDesign,
  type FixedEffects,
  groupTerms,
  type RandomGrouping,
} from './design';
import { fitNested } from '../nested/fit';
import { coefficientCovariance, fitEngine } from './engine';
import { gaussHermite } from './gauss-hermite';
import type { GroupTerm } from './groups';
import { logistic } from './likelihood';

export type BinomialMixedInput = Counts & {
  readonly fixed: FixedEffects;
  /** Groupings with a random intercept, nested or crossed; none gives the ordinary logit model. */
  readonly random: readonly RandomGrouping[];
  /** Points of adaptive quadrature, with one grouping; Laplace when absent or 1. */
  readonly quadraturePoints?: number | undefined;
};

/** Pearson's chi-square over its degrees of freedom, group effects at their modes. */
export type Overdispersion = {
  readonly chiSquare: number;
  readonly df: number;
  readonly ratio: number;
};

export type BinomialMixedFit = MixedFitParts & {
  readonly model: 'binomial-mixed';
  /** Of the coefficients, row-major. */
  readonly covariance: Float64Array | undefined;
  readonly overdispersion: Overdispersion | undefined;
  /** Rows used: those with at least one trial. */
  readonly rows: number;
  readonly input: BinomialMixedInput;
};

const pearson = (
  y: Float64Array,
  n: Float64Array,
  eta: Float64Array,
  parameters: number,
): Overdispersion | undefined => {
  const df = y.length - parameters;
  if (df <= 0) return undefined;
  let chiSquare = 0;
  for (let i = 0; i < y.length; i++) {
    const p = logistic(eta[i]);
    const variance = n[i] * p * logistic(-eta[i]);
    if (variance > 0) chiSquare += (y[i] - n[i] * p) ** 2 / variance;
  }
  return { chiSquare, df, ratio: chiSquare / df };
};

type Rows = { readonly y: Float64Array; readonly n: Float64Array };

/** Any groupings, crossed ones among them, none, or quadrature over one. */
const fitGeneral = ({ y, n }: Rows, design: Design, terms: readonly GroupTerm[], points: number) =>
  fitEngine({
    likelihood: binomialLikelihood(y, n),
    design,
    terms,
    rule: points === 1 ? undefined : gaussHermite(points),
    shape: { start: new Float64Array(0), names: [], even: true },
    pseudo: (rows, weight) => {
      const w = new Float64Array(rows).fill(weight);
      return binomialLikelihood(
        w,
        w.map((v) => 2 * v),
        false,
      );
    },
  });

/**
 * Binomial mixed model with logit link and random intercepts by maximum likelihood: logit p =
 * fixed effects + one normal effect for each group. Laplace approximation, or adaptive
 * Gauss-Hermite quadrature with one grouping; see `mixedObjective` for the definition. Nested groupings
 * by Laplace take a faster road to the same optimum (`nested/`). A variance that is best at zero is
 * returned as exactly zero and treated as known in the standard errors.
 * When the fixed effects separate the data (a treatment all diseased or all healthy) a mild penalty
 * keeps the estimate finite, and `penalised` says so.
 * Throws ModelError on impossible counts or codes, RangeError on bad quadrature points.
 */
export const fitBinomialMixed = (input: BinomialMixedInput): BinomialMixedFit => {
  const kept = usableRows(input);
  const y = pick(input.successes, kept);
  const n = pick(input.trials, kept);
  const design = fixedDesign(input.fixed, input.trials.length, kept, true);
  const groupings = groupTerms(input.random, input.trials.length, kept);
  const points = input.quadraturePoints ?? 1;
  const nested = points === 1 ? fitNested({ y, n }, design, groupings.terms) : undefined;
  const fit = nested ?? fitGeneral({ y, n }, design, groupings.terms, points);
  return {
    model: 'binomial-mixed',
    ...mixedFitParts(fit, groupings),
    covariance: coefficientCovariance(fit),
    overdispersion: pearson(y, n, fit.eta, fit.parameters),
    rows: kept.length,
    input,
  };
};
