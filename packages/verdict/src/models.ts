import {
  fitBetaBinomial,
  fitBinomialMixed,
  fitOrdinalMixed,
  kaplanMeier,
  leastSquaresProbabilities,
  logRank,
  ModelError,
  plainLikelihoodRatio,
} from '@fairbed/stats';
import { type OutcomeId, plotValues, type Score, type Tally, type Trial } from '@fairbed/trial';
import type { Counts, FixedEffect, Judgement, Ordinal, TimeToEvent } from './judgement';
import { type ScoreRows, scoreRows } from './score-rows';
import { treatmentNames } from './table';

/** A model's figures with what must be said about them, or why there are none. */
type Modelled<T> =
  | { readonly known: true; readonly value: T; readonly notes: readonly string[] }
  | { readonly known: false; readonly why: string };

type Coefficients = readonly {
  readonly name: string;
  readonly estimate: number;
  readonly se: number | undefined;
  readonly p: number | undefined;
}[];

const fixedEffects = (table: Coefficients): FixedEffect[] =>
  table.map(({ name, estimate, se, p }) => ({ name, estimate, se: se ?? null, p: p ?? null }));

const fixedOf = ({ treatment }: ScoreRows, control: string) => ({
  factors: [{ ...treatment, reference: control }],
});

const sds = (groups: readonly { readonly name: string; readonly sd: number }[]) =>
  Object.fromEntries(groups.map(({ name, sd }) => [name, sd]));

/** Runs a fit; a question the data can't be asked becomes a reason, any other error is ours. */
function modelled<T>(fit: () => { value: T; notes: string[] }): Modelled<T> {
  try {
    return { known: true, ...fit() };
  } catch (error) {
    if (error instanceof ModelError) return { known: false, why: error.message };
    throw error;
  }
}

const hasCounts = ({ standing, diseased }: Score): boolean =>
  standing !== undefined && diseased !== undefined && standing > 0 && diseased <= standing;

/**
 * Diseased leaves of leaves standing at one round: binomial mixed model with random block, plot
 * and plant (stats, `fitBinomialMixed`, Laplace), probabilities of a typical plot, and a
 * beta-binomial regression of the same rows beside it. Treatment contrasts against `control`.
 */
function countsOf(trial: Trial, round: string, control: string): Modelled<Counts> {
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

/**
 * Grades at one round: cumulative logit mixed model, logit P(grade <= k) = threshold - effect,
 * random block and plot (stats, `fitOrdinalMixed`, Laplace). Grades keep their written order.
 */
function ordinalOf(trial: Trial, round: string, control: string): Modelled<Ordinal> {
  const classes = trial.gradeScale?.classes ?? [];
  const rows = scoreRows(trial, round, ({ grade }) => grade !== undefined, false);
  return modelled(() => {
    const fit = fitOrdinalMixed({
      grades: rows.scores.map(({ grade }) => classes.indexOf(grade ?? Number.NaN)),
      classes: classes.length,
      fixed: fixedOf(rows, control),
      random: rows.groups,
    });
    const notes = fit.how.converged
      ? []
      : ['The model of grades did not settle; read it with care.'];
    if (fit.penalised) {
      notes.push(
        'A treatment had all its grades at one end; a mild penalty keeps the model of grades finite.',
      );
    }
    return {
      value: {
        logLik: fit.logLik,
        thresholds: fit.thresholds.map(({ estimate }) => estimate),
        fixed: fixedEffects(fit.fixed),
        sd: sds(fit.groups),
      },
      notes,
    };
  });
}

/**
 * Days to an event (stats, `logRank` and `kaplanMeier`): plants are taken one by one, so the
 * log-rank test treats plants of one plot as if they were independent; said in the notes.
 */
function timeOf(trial: Trial): Modelled<TimeToEvent> | undefined {
  if (trial.times.length === 0) return undefined;
  const names = treatmentNames(trial);
  const ids = [...names.keys()];
  const treatments = [...names.values()];
  const plots = new Map(trial.plots.map(({ id, treatment }) => [id, ids.indexOf(treatment)]));
  const time = trial.times.map(({ days }) => days);
  const happened = trial.times.map((entry) => entry.happened);
  const group = trial.times.map(({ plot }) => plots.get(plot) ?? 0);
  const test = logRank({ time, happened, group, groups: treatments.length });
  if (!test.known) {
    const why =
      test.why === 'no-events'
        ? 'Nothing had happened yet to any plant, so days can’t be compared.'
        : 'Fewer than two treatments were watched at the same time, so days can’t be compared.';
    return { known: false, why };
  }
  const median = treatments.map((name, code) => {
    const mine = group.flatMap((g, i) => (g === code ? [i] : []));
    const { days, low, high } = kaplanMeier({
      time: mine.map((i) => time[i] ?? 0),
      happened: mine.map((i) => happened[i] ?? false),
    }).median;
    return { name, days: days ?? null, low: low ?? null, high: high ?? null };
  });
  const { statistic, df, p } = test;
  return {
    known: true,
    value: { logRank: { statistic, df, p }, median },
    notes: [
      'Days to an event are compared plant by plant; plants of one plot are alike, so that p is smaller than it should be.',
    ],
  };
}

export type Models = {
  readonly parts: Pick<Judgement, 'counts' | 'ordinal' | 'time'>;
  readonly notes: readonly string[];
};

/**
 * The models that a trial's records can carry, each at the last round that counts for all plots;
 * `daysOnly` leaves out those of counts and grades.
 */
export function modelsOf(tally: Tally, control: string, daysOnly: boolean): Models {
  const { trial } = tally;
  const notes: string[] = [];
  const keep = <T>(model: Modelled<T> | undefined): T | undefined => {
    if (model === undefined) return undefined;
    if (!model.known) {
      notes.push(model.why);
      return undefined;
    }
    notes.push(...model.notes);
    return model.value;
  };
  const name = treatmentNames(trial).get(control) ?? control;
  const lastOf = (id: OutcomeId): string | undefined =>
    daysOnly ? undefined : plotValues(tally, id).last?.id;
  const counted = lastOf('incidence-last');
  const graded = lastOf('grade-index-last');
  const counts = counted === undefined ? undefined : keep(countsOf(trial, counted, name));
  const ordinal = graded === undefined ? undefined : keep(ordinalOf(trial, graded, name));
  const time = keep(timeOf(trial));
  return {
    parts: {
      ...(counts ? { counts } : {}),
      ...(ordinal ? { ordinal } : {}),
      ...(time ? { time } : {}),
    },
    notes,
  };
}
