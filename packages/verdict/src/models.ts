import { type OutcomeId, plotValues } from '@fairbed/trial';
import { countsOf } from './counts';
import { timeOf } from './days';
import { ordinalOf } from './grades';
import type { Judgement } from './whole';
import type { MethodInput } from './method-input';
import type { Modelled } from './modelled';
import { overTimeOf } from './weeks';

export type Models = {
  readonly parts: Pick<Judgement, 'counts' | 'ordinal' | 'time' | 'overTime'>;
  readonly notes: readonly string[];
};

/**
 * The models that a trial's records can carry, each at the last round that counts for all plots;
 * the model of all rounds where there are two or more; `daysOnly` leaves out all but days. Days are those that were written down.
 */
export function modelsOf(input: MethodInput, daysOnly: boolean): Models {
  const { tally, control } = input;
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
  const lastOf = (id: OutcomeId): string | undefined =>
    daysOnly ? undefined : plotValues(tally, id).last?.id;
  // A model of leaves without whole plots would compare practices by the small error within.
  const split = input.layout.kind === 'split-plot';
  const counted = split ? undefined : lastOf('incidence-last');
  const graded = lastOf('grade-index-last');
  const counts = counted === undefined ? undefined : keep(countsOf(trial, counted, control, input));
  const ordinal = graded === undefined ? undefined : keep(ordinalOf(trial, graded, control, input));
  const time = trial.times.length === 0 ? undefined : keep(timeOf(input));
  const weeks = daysOnly || tally.timeline.rounds.length < 2 ? undefined : overTimeOf(input);
  // Its notes, and why there is none, stand with the method, where somebody asks for it.
  const overTime = weeks?.known === true ? weeks.value : undefined;
  return {
    parts: {
      ...(counts ? { counts } : {}),
      ...(ordinal ? { ordinal } : {}),
      ...(time ? { time } : {}),
      ...(overTime ? { overTime } : {}),
    },
    notes,
  };
}
