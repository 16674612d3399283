import type { Random } from '../random';
import { type CountsPlan, simulateCounts } from './simulate';
import type { TreatmentTester } from './treatment-test';

export type TreatmentBootstrap = {
  /** (1 + hits) / (1 + draws). */
  readonly p: number;
  readonly hits: number;
  readonly draws: number;
};

/** Rounding of two fits of the same counts. */
const TIE = 1e-8;

/**
 * Parametric bootstrap of the likelihood ratio: trials are made up from the fit without treatments
 * (its estimates and its spread), both models are fitted to each, and p is the share of likelihood
 * ratios at least as large as the one seen, which counts among them (Davison & Hinkley 1997,
 * Bootstrap Methods and their Application, section 4.4). A trial whose fits did not settle counts as
 * a hit. The fits with and without treatments of the trial itself are what the tester holds last.
 */
export const bootstrapTreatment = (
  tester: TreatmentTester,
  counts: { readonly successes: ArrayLike<number>; readonly trials: ArrayLike<number> },
  draws: number,
  random: Random,
): TreatmentBootstrap => {
  const { full, without, groupings } = tester;
  const { successes, trials } = counts;
  const seen = tester.ratio(successes, trials);
  const { fixed } = without.search.surface;
  const plan: CountsPlan = {
    logits: Float64Array.from(without.pooled.rowCells, (cell) => fixed[cell]),
    trials,
    terms: groupings.terms,
    sd: without.sd(),
  };
  const made = new Float64Array(trials.length);
  let hits = 0;
  for (let draw = 0; draw < draws; draw++) {
    const ratio = tester.ratio(simulateCounts(plan, random, made), trials);
    if (!(ratio < seen - TIE) || !full.converged() || !without.converged()) hits++;
  }
  tester.ratio(successes, trials);
  return { p: (1 + hits) / (1 + draws), hits, draws };
};
