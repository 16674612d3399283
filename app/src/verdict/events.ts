import { daysBetween } from '@fairbed/field';
import type { ChartEvent } from '@fairbed/report';
import type { Trial } from '@fairbed/trial';

const words = {
  storm: 'Storm',
  hail: 'Hail',
  frost: 'Frost',
  flood: 'Flood',
  drought: 'Drought',
  irrigation: 'Watering',
  pest: 'Pest',
  other: 'Event',
} as const satisfies Record<Trial['events'][number]['kind'], string>;

/** Storms and the like as flags on the time axis, days after the first dated round. */
export function chartEvents(trial: Pick<Trial, 'events' | 'rounds'>): readonly ChartEvent[] {
  const days = trial.rounds.flatMap(({ day }) => (day === undefined ? [] : [day])).sort();
  const first = days[0];
  if (first === undefined) return [];
  return trial.events.map(({ day, kind }) => ({
    day: daysBetween(first, day),
    label: words[kind],
  }));
}
