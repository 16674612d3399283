import type { Tally, Trial } from '@fairbed/trial';
import type { TimeToEvent } from './judgement';
import { placesOf } from './plants-to-plots';
import type { PlotTable } from './table';

type Event = NonNullable<TimeToEvent['event']>;

/** Of every plant, between which days something happened to it: after `left`, by `right`. */
export type Spells = {
  readonly event: Event;
  readonly source: 'times' | 'scores';
  /** Place of each plant's plot in the table. */
  readonly plots: Int32Array;
  /** -Infinity: before the first look. */
  readonly left: Float64Array;
  /** Infinity: not by the last look. */
  readonly right: Float64Array;
  /** As written down: days, and whether it had happened by then. */
  readonly days: Float64Array;
  readonly happened: readonly boolean[];
  readonly notes: readonly string[];
};

/** The kind of event that most entries are of. */
function mainEvent(times: Trial['times']): Event {
  const counts = new Map<Event, number>();
  for (const { event } of times) counts.set(event, (counts.get(event) ?? 0) + 1);
  return [...counts].sort(([, a], [, b]) => b - a)[0]?.[0] ?? 'other';
}

const guardsOf = (trial: Trial): ReadonlySet<string> =>
  new Set(
    trial.plants.flatMap(({ plot, id, guard }) => (guard === true ? [`${plot}\u001f${id}`] : [])),
  );

/**
 * The days on which people looked, where the days written down are such days: all of them more
 * than a day apart. Undefined where the days follow each other, as when somebody looked daily.
 */
export function looksOf(days: ArrayLike<number>): readonly number[] | undefined {
  const looks = [...new Set(Array.from(days))].sort((a, b) => a - b);
  const apart = looks.every((day, i) => i === 0 || day - (looks[i - 1] ?? day) > 1);
  return looks.length > 1 && apart ? looks : undefined;
}

/** Days written down for each plant; between two looks where the days are those of looks. */
function writtenSpells(trial: Trial, table: PlotTable): Spells {
  const event = mainEvent(trial.times);
  const guards = guardsOf(trial);
  const places = placesOf(
    table,
    trial.times.map(({ plot }) => plot),
  );
  const kept = trial.times.flatMap((time, i) =>
    time.event === event &&
    (places[i] ?? -1) >= 0 &&
    (time.plant === undefined || !guards.has(`${time.plot}\u001f${time.plant}`))
      ? [{ ...time, place: places[i] ?? 0 }]
      : [],
  );
  const days = Float64Array.from(kept, (time) => time.days);
  const happened = kept.map((time) => time.happened);
  const looks = looksOf(days);
  // Days count from the start, when it had not happened yet.
  const before = (day: number): number =>
    looks?.[looks.indexOf(day) - 1] ?? (day > 0 ? 0 : -Infinity);
  return {
    event,
    source: 'times',
    plots: Int32Array.from(kept, ({ place }) => place),
    left: days.map((day, i) => (happened[i] === true && looks ? before(day) : day)),
    right: days.map((day, i) => (happened[i] === true ? day : Infinity)),
    days,
    happened,
    notes: [
      ...(kept.some((time) => time.event !== event) || kept.length < trial.times.length
        ? [
            `Days are compared for ${kept.length} of ${trial.times.length} entries: those of one kind of event, on plants that are no guards.`,
          ]
        : []),
    ],
  };
}

/** Whether an entry shows the disease; undefined where it was not looked at. */
function diseasedAt({ entries, trial }: Tally, e: number): boolean | undefined {
  const diseased = entries.diseased[e] ?? NaN;
  if (!Number.isNaN(diseased)) return diseased > 0;
  const severity = entries.severity[e] ?? NaN;
  if (!Number.isNaN(severity)) return severity > 0;
  const grade = entries.grade[e] ?? NaN;
  const healthy = trial.gradeScale?.healthy;
  return Number.isNaN(grade) || healthy === undefined ? undefined : grade !== healthy;
}

/**
 * First symptoms read off the scores: after the last round without, by the first round with.
 * A plant without any round has no spell.
 */
function scoredSpells(tally: Tally, table: PlotTable): Spells {
  const { entries, timeline, plantPlot } = tally;
  const count = plantPlot.length;
  const left = new Float64Array(count).fill(-Infinity);
  const right = new Float64Array(count).fill(Infinity);
  const seen = new Set<number>();
  for (let e = 0; e < entries.count; e++) {
    const plant = entries.plant[e] ?? 0;
    const ill = diseasedAt(tally, e);
    const day = timeline.days[entries.round[e] ?? 0] ?? 0;
    if (ill === undefined || right[plant] !== Infinity) continue;
    seen.add(plant);
    if (ill) right[plant] = day;
    else left[plant] = day;
  }
  const places = placesOf(
    table,
    Array.from(plantPlot, (plot) => tally.plots[plot] ?? ''),
  );
  const kept = [...seen].filter((plant) => (places[plant] ?? -1) >= 0).sort((a, b) => a - b);
  const of = (column: Float64Array): Float64Array =>
    Float64Array.from(kept, (plant) => column[plant] ?? 0);
  const until = of(right);
  const from = of(left);
  return {
    event: 'first-symptom',
    source: 'scores',
    plots: Int32Array.from(kept, (plant) => places[plant] ?? 0),
    left: from,
    right: until,
    days: until.map((day, i) => (day === Infinity ? (from[i] ?? 0) : day)),
    happened: Array.from(until, (day) => day < Infinity),
    notes:
      timeline.clock === 'order'
        ? ['The rounds have no dates, so days are counted in rounds.']
        : [],
  };
}

/**
 * When something happened to each plant: as written down, else the first symptoms by the rounds'
 * scores. Undefined where neither is recorded.
 */
export function spellsOf(tally: Tally, table: PlotTable): Spells | undefined {
  const spells =
    tally.trial.times.length > 0 ? writtenSpells(tally.trial, table) : scoredSpells(tally, table);
  return spells.plots.length === 0 ? undefined : spells;
}
