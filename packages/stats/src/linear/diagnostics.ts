import { normalQuantile } from '../distributions/normal';
import { midRanks } from '../ranks/ranks';
import { designMatrix } from './design';
import type { LinearFit } from './fit';
import { solveForm } from './householder';

/** What a picture of a fit's residuals needs of one value. */
export type ValueResidual = {
  readonly fitted: number;
  readonly residual: number;
  /** How far the fit leans on this value alone: 0 not at all, 1 altogether. */
  readonly leverage: number;
  /**
   * The residual over its own standard error (internally studentised). Undefined where the fit
   * leans on this value altogether, or there is no variation to measure by.
   */
  readonly studentised: number | undefined;
  /** Where the normal would have put a studentised residual of this rank, in standard deviations. */
  readonly normalScore: number | undefined;
};

/** A value whose leverage is this near to 1 has a residual of 0 by necessity. */
const WHOLE = 1e-8;

/**
 * Normal scores of values, for a normal plot: quantiles of the normal at (rank - 3/8) / (n + 1/4)
 * (Blom 1958, Statistical Estimates and Transformed Beta-Variables); equal values share a score.
 */
export function normalScores(values: ArrayLike<number>): Float64Array {
  const { ranks } = midRanks(values);
  return ranks.map((rank) => normalQuantile((rank - 0.375) / (ranks.length + 0.25)));
}

/** Puts residuals, their leverages and standard errors (undefined: none) together for a picture. */
export function pictured(
  fitted: ArrayLike<number>,
  residuals: ArrayLike<number>,
  leverages: ArrayLike<number>,
  seOf: (i: number) => number | undefined,
): ValueResidual[] {
  const studentised = Array.from(residuals, (residual, i) => {
    const se = leverages[i] > 1 - WHOLE ? undefined : seOf(i);
    return se === undefined ? undefined : residual / se;
  });
  const known = studentised.filter((value) => value !== undefined);
  const scores = normalScores(known);
  let next = 0;
  return studentised.map((value, i) => ({
    fitted: fitted[i],
    residual: residuals[i],
    leverage: leverages[i],
    studentised: value,
    normalScore: value === undefined ? undefined : scores[next++],
  }));
}

/**
 * Residuals of a least-squares fit for its pictures, in the order of `y`. With leverage h, a
 * residual r has standard error s sqrt(1 - h) (Cook & Weisberg 1982, Residuals and Influence in
 * Regression, section 2.2.1).
 */
export function residualsOf(fit: LinearFit): ValueResidual[] {
  const { n, design, triangle, spread, fitted, residuals } = fit;
  const matrix = designMatrix(design);
  const row = new Float64Array(design.columns);
  const leverages = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < design.columns; j++) row[j] = matrix[j * n + i];
    // A row of the design is always estimable; `solveForm` gives R^-T x, whose square is h.
    const u = solveForm(triangle, row) ?? row.fill(0);
    let h = 0;
    for (const part of u) h += part * part;
    leverages[i] = Math.min(h, 1);
  }
  return pictured(fitted, residuals, leverages, (i) =>
    spread.known ? spread.sd * Math.sqrt(1 - leverages[i]) : undefined,
  );
}
