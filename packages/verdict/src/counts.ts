import {
  fitBetaBinomial,
  fitBinomialMixed,
  leastSquaresProbabilities,
  plainLikelihoodRatio,
} from '@fairbed/stats';
import type { Score, Trial } from '@fairbed/trial';
import type { Counts } from './judgement';
import { fixedEffects, fixedOf, type Modelled, modelled, sds } from './modelled';
import { type ScoreRows, scoreRows } from './score-rows';

const hasCounts = ({ standing, diseased }: Score): boolean =>
  standing !== undefined && diseased !== undefined && standing > 0 && diseased <= standing;

/**
 * Diseased leaves of leaves standing at one round: binomial mixed model with random block, plot
 * and plant (stats, `fitBinomialMixed`, Laplace), probabilities of a typical plot, and a
 * beta-binomial regression of the same rows beside it. Treatment contrasts against `control`.
 */
export function countsOf(trial: Trial, round: string, control: string): Modelled<Counts> {
  const rows = scoreRows(trial, round, hasCounts, true);
  return modelled(() => {
    const fit = fitBinomialMixed({
      successes: rows.scores.map(({ diseased }) => diseased ?? 0),
      trials: rows.scores.map(({ standing }) => standing ?? 0),
      fixed: fixedOf(rows, control),
      random: rows.groups,
    });
    const ratio = plainLikelihoodRatio(fit);
    const notes: string[] = [];
    if (fit.penalised) {
      notes.push(
        'A treatment had all or none of its leaves diseased; a mild penalty keeps its log-odds finite in the model of counts.',
      );
    }
    if (!fit.how.converged) notes.push('The model of counts did not settle; read it with care.');
    if (fit.how.runaway.length > 0) {
      notes.push(
        'Whole plots were all diseased or all healthy, so the model of counts can’t measure how plots differ.',
      );
    }
    const value: Counts = {
      model: 'binomial-mixed',
      logLik: fit.logLik,
      fixed: fixedEffects(fit.fixed),
      sd: sds(fit.groups),
      treatments: (leastSquaresProbabilities(fit) ?? []).map(
        ({ level, probability, low, high }) => ({
          name: level,
          probability,
          low,
          high,
        }),
      ),
      ...(ratio
        ? { likelihoodRatio: { statistic: ratio.statistic, df: ratio.df, p: ratio.plainP } }
        : {}),
      ...betaBinomialOf(rows, control),
    };
    return { value, notes };
  });
}

/**
 * Beta-binomial regression of the same rows: its precision takes the place of the finest grouping
 * (the one with a level for every row), the coarser groupings stay random.
 */
function betaBinomialOf(rows: ScoreRows, control: string): Pick<Counts, 'betaBinomial'> {
  const fit = modelled(() => ({
    notes: [],
    value: fitBetaBinomial({
      successes: rows.scores.map(({ diseased }) => diseased ?? 0),
      trials: rows.scores.map(({ standing }) => standing ?? 0),
      fixed: fixedOf(rows, control),
      random: rows.groups.filter(({ levels }) => levels.length < rows.scores.length),
    }),
  }));
  if (!fit.known || fit.value.precision === undefined) return {};
  const { logLik, fixed, precision } = fit.value;
  return { betaBinomial: { logLik, fixed: fixedEffects(fixed), precision } };
}
