import { kaplanMeier, logRank } from '@fairbed/stats';
import type { Trial } from '@fairbed/trial';
import type { TimeToEvent } from './judgement';
import type { Modelled } from './modelled';
import { treatmentNames } from './table';

/**
 * Days to an event (stats, `logRank` and `kaplanMeier`): plants are taken one by one, so the
 * log-rank test treats plants of one plot as if they were independent; said in the notes.
 */
export function timeOf(trial: Trial): Modelled<TimeToEvent> | undefined {
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
