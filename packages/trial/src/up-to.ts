import type { Trial } from './schema';
import { timelineOf } from './timeline';

/**
 * The trial as it stood right after `round`: later rounds and their scores are left out, and so is
 * everything dated after that round's day (sprays, events, harvests, plots lost later stand again).
 * Days to an event are left out altogether where the round is not the last: they are known to the
 * end only. Undefined where there is no such round.
 */
export function upTo(trial: Trial, round: string): Trial | undefined {
  const { rounds } = timelineOf(trial);
  const at = rounds.findIndex(({ id }) => id === round);
  if (at < 0) return undefined;
  if (at === rounds.length - 1) return trial;
  const seen = new Set(rounds.slice(0, at + 1).map(({ id }) => id));
  const day = rounds[at]?.day;
  const byThen = (when: string | undefined): boolean =>
    when === undefined || day === undefined || when <= day;
  const dated = <T extends { readonly day: string }>(list: readonly T[]): T[] =>
    list.filter((one) => byThen(one.day));
  return {
    ...trial,
    rounds: trial.rounds.filter(({ id }) => seen.has(id)),
    scores: trial.scores.filter((score) => seen.has(score.round)),
    plots: trial.plots.map((plot) => standing(plot, byThen)),
    plants: trial.plants.map((plant) => standing(plant, byThen)),
    times: [],
    sprays: dated(trial.sprays),
    events: dated(trial.events),
    harvests: dated(trial.harvests),
    ...(trial.skipped === undefined
      ? {}
      : { skipped: trial.skipped.filter((one) => seen.has(one.round)) }),
    ...(trial.photos === undefined ? {} : { photos: dated(trial.photos) }),
    ...(trial.notes === undefined ? {} : { notes: dated(trial.notes) }),
    ...(trial.departures === undefined
      ? {}
      : { departures: trial.departures.filter((one) => byThen(one.day)) }),
  };
}

/** A plot or plant that was lost later is not lost yet. */
function standing<T extends { lost?: { readonly day?: string | undefined } | undefined }>(
  one: T,
  byThen: (day: string | undefined) => boolean,
): T {
  if (one.lost === undefined || byThen(one.lost.day)) return one;
  const unharmed = { ...one };
  delete unharmed.lost;
  return unharmed;
}
