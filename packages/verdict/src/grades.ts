import { fitOrdinalMixed } from '@fairbed/stats';
import type { Trial } from '@fairbed/trial';
import type { Ordinal } from './judgement';
import { fixedEffects, fixedOf, type Modelled, modelled, sds } from './modelled';
import { scoreRows } from './score-rows';

/**
 * Grades at one round: cumulative logit mixed model, logit P(grade <= k) = threshold - effect,
 * random block and plot (stats, `fitOrdinalMixed`, Laplace). Grades keep their written order.
 */
export function ordinalOf(trial: Trial, round: string, control: string): Modelled<Ordinal> {
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
