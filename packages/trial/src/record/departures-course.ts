import { type Day, daysBetween } from '@fairbed/field';
import type { Departure, Plot, Trial } from '../schema';
import { sameJson } from './canonical';
import { because, departure, on } from './departures-plan';
import { writtenAfter } from './plan';
import { graceDays, type HeldRound, type PlannedRound, type Schedule } from './rounds-plan';
import { dayOfClock, type RecordSource, type Written } from './source';
import { mapForSpraying, openedForSpraying, readScoreThing } from './things';

const plural = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`;
const listed = (list: readonly string[]): string =>
  list.length < 2 ? list.join('') : `${list.slice(0, -1).join(', ')} and ${list.at(-1) ?? ''}`;

type Off = { readonly round: PlannedRound; readonly held: HeldRound; readonly late: number };

/** Few rounds one by one, many in one sentence. */
const fewRounds = 3;

function offDays(off: readonly Off[], code: string, word: string): Departure[] {
  if (off.length <= fewRounds) {
    return off.map(({ round, held, late }) =>
      departure(
        code,
        held.day,
        `Round ${round.number} was held ${plural(Math.abs(late), 'day')} ${word}, on ${held.day} in place of ${round.day}.`,
      ),
    );
  }
  const most = Math.max(...off.map(({ late }) => Math.abs(late)));
  const numbers = listed(off.map(({ round }) => String(round.number)));
  const words = `Rounds ${numbers} were held more than ${graceDays} days ${word} (at most ${most}).`;
  return [departure(code, off[0]?.held.day, words)];
}

/**
 * Planned rounds that were missed: none was held for them, and a later round was held, or the day
 * of the next has come. `until` is the last day known of: today, or the day of the reveal.
 */
function missedRounds(planned: readonly PlannedRound[], until: Day | undefined): PlannedRound[] {
  const last = planned.findLastIndex(({ held }) => held !== undefined);
  const every = planned[1] && planned[0] ? daysBetween(planned[0].day, planned[1].day) : graceDays;
  return planned.filter(
    ({ held, day }, i) =>
      held === undefined &&
      (i < last || (until !== undefined && daysBetween(day, until) >= Math.max(every, graceDays))),
  );
}

/** Rounds held more than two days off their day, missed, or added. */
export function roundDepartures(schedule: Schedule | undefined, until?: Day): Departure[] {
  if (schedule === undefined) return [];
  const off = schedule.planned.flatMap((round): Off[] =>
    round.held !== undefined && round.late !== undefined && Math.abs(round.late) > graceDays
      ? [{ round, held: round.held, late: round.late }]
      : [],
  );
  const missed = missedRounds(schedule.planned, until);
  return [
    ...offDays(
      off.filter(({ late }) => late > 0),
      'round-late',
      'late',
    ),
    ...offDays(
      off.filter(({ late }) => late < 0),
      'round-early',
      'early',
    ),
    ...missed.map(({ number, day }) =>
      departure('round-missed', day, `Round ${number}, planned for ${day}, was missed.`),
    ),
    ...schedule.added.map(({ day }) =>
      departure('round-added', day, `A round that was not planned was held on ${day}.`),
    ),
  ];
}

/** What a stake says, which is what a plot is called until the reveal and after. */
export const plotName = ({ id, code }: Pick<Plot, 'id' | 'code'>): string => code ?? id;

const deviceAt = 14;
const deviceLetters = 6;

/** By one name; where either gave none, on one device (the first signs of a clock's writer). */
function isSamePerson(a: Written, b: Written): boolean {
  if (a.who !== '' && b.who !== '') return a.who === b.who;
  const device = ({ clock }: Written): string => clock.slice(deviceAt, deviceAt + deviceLetters);
  return device(a) === device(b);
}

type SeenFigures = { readonly opened: Written; readonly things: readonly string[] };

/** Figures entered by somebody who had opened the page for spraying before, and was not to score. */
export function sprayerFigures(source: RecordSource): readonly SeenFigures[] {
  const told: Written[] = [];
  return source.everWritten('note').flatMap(([thing]) => {
    if (!thing.startsWith(openedForSpraying) || thing.startsWith(mapForSpraying)) return [];
    const opened = source.history('note', thing)[0];
    if (opened === undefined || told.some((one) => isSamePerson(one, opened))) return [];
    const figures = source.things('score').filter(([name, entry]) => {
      const isFigure = !/\/(note|skipped)$/.test(name);
      return isFigure && writtenAfter(entry, opened.clock) && isSamePerson(entry, opened);
    });
    if (figures.length === 0) return [];
    told.push(opened);
    return [{ opened, things: figures.map(([name]) => name) }];
  });
}

/** What {@link sprayerFigures} finds, in words. */
export const sprayerDepartures = (source: RecordSource): Departure[] =>
  sprayerFigures(source).map(({ opened, things: { length } }) => {
    const day = dayOfClock(opened.clock);
    const by = opened.who === '' ? '' : ` by ${opened.who}`;
    const words = `The page for spraying, which shows which plot has which treatment, was opened${on(day)}${by}, and ${plural(length, 'figure')} ${length === 1 ? 'was' : 'were'} entered after it ${opened.who === '' ? 'on the same device' : 'by the same person'}: not blind.`;
    return departure('sprayer-scored', day, words);
  });

/** The reveal, and its entry, after which the codes were known. */
type Revealed = {
  readonly day: Day;
  readonly why?: string | undefined;
  readonly entry: Written;
};

type LostReading = {
  readonly source: RecordSource;
  readonly plots: readonly Plot[];
  readonly reveal: Revealed | undefined;
};

/** Plots that were lost, and which of them were said to be once the codes were known. */
export const lostDepartures = ({ source, plots, reveal }: LostReading): Departure[] =>
  plots.flatMap((plot) => {
    if (plot.lost === undefined) return [];
    const entry = source.history('lost-plot', plot.id).at(-1);
    const late =
      reveal !== undefined && entry !== undefined && writtenAfter(entry, reveal.entry.clock)
        ? ` That was written down after the codes were revealed on ${reveal.day}.`
        : '';
    const words = `Plot ${plotName(plot)} was lost${on(plot.lost.day)}${because(plot.lost.why)}.${late}`;
    return [departure('plot-lost', plot.lost.day, words)];
  });

type SprayReading = Pick<Trial, 'plots' | 'sprays' | 'treatments'> & { readonly revealed: boolean };

/**
 * Plots that were sprayed with a treatment not their own. Before the reveal neither treatment nor
 * plot is said: where only one treatment is sprayed, the plot alone tells that it is another.
 */
export function sprayDepartures(reading: SprayReading): Departure[] {
  const { plots, sprays, treatments, revealed } = reading;
  const byId = new Map(plots.map((plot) => [plot.id, plot]));
  const nameOf = (id: string): string => treatments.find((one) => one.id === id)?.name ?? id;
  return sprays.flatMap(({ day, treatment, plots: sprayed = [] }) =>
    sprayed.flatMap((id) => {
      const plot = byId.get(id);
      if (plot === undefined || plot.treatment === treatment) return [];
      const words = revealed
        ? `Plot ${plotName(plot)} (${nameOf(plot.treatment)}) was sprayed with ${nameOf(treatment)} on ${day}.`
        : `A plot was sprayed with a treatment that is not its own on ${day}. Which one is told after the reveal.`;
      return [departure('wrong-spray', day, words)];
    }),
  );
}

/** Rounds whose leaves were stripped, or not, against the plan's rule. */
export function strippingDepartures(
  rule: string | undefined,
  rounds: readonly { readonly day: Day; readonly stripping?: boolean | undefined }[],
): Departure[] {
  if (rule !== 'all-diseased' && rule !== 'none') return [];
  const planned = rule === 'all-diseased';
  return rounds
    .filter(({ stripping }) => stripping !== undefined && stripping !== planned)
    .map(({ day }) =>
      departure(
        'stripping-differs',
        day,
        planned
          ? `Diseased leaves were not stripped at the round of ${day}, as the plan says they are.`
          : `Diseased leaves were stripped at the round of ${day}, which the plan does not foresee.`,
      ),
    );
}

type RevealReading = {
  readonly source: RecordSource;
  readonly reveal: Revealed;
  readonly schedule: Schedule | undefined;
  readonly dayOfRound: (round: string) => string;
};

/** Figures entered, changed or taken back when the codes were known. */
function seenFigures({ source, reveal, dayOfRound }: RevealReading): Departure[] {
  const entered: string[] = [];
  const changed: string[] = [];
  for (const [thing, entry] of source.everWritten('score')) {
    const place = readScoreThing(thing);
    if (place === undefined || place.field === 'note' || !writtenAfter(entry, reveal.entry.clock)) {
      continue;
    }
    const before = source.history('score', thing)[0];
    const known = before !== undefined && !writtenAfter(before, reveal.entry.clock);
    if (known) changed.push(dayOfRound(place.round));
    else if (entry.value !== null) entered.push(dayOfRound(place.round));
  }
  const tell = (code: string, days: readonly string[], done: string): Departure[] => {
    if (days.length === 0) return [];
    const were = `${plural(days.length, 'figure')} ${days.length === 1 ? 'was' : 'were'} ${done}`;
    const of = [...new Set(days)].sort();
    const rounds = `${of.length === 1 ? 'round' : 'rounds'} of ${listed(of)}`;
    const words = `${were} after the codes were revealed on ${reveal.day} (${rounds}).`;
    return [departure(code, reveal.day, words)];
  };
  return [
    ...tell('scored-after-reveal', entered, 'entered'),
    ...tell('changed-after-reveal', changed, 'changed'),
  ];
}

type RoundFacts = { readonly day: unknown; readonly baseline: unknown };

/** What of a round weighs in a verdict: on what day it was held, and whether as a baseline. */
function factsOf(value: unknown): RoundFacts | undefined {
  if (typeof value !== 'object' || value === null) return undefined;
  const { day, baseline = false } = value as Partial<RoundFacts>;
  return { day, baseline };
}

/** Rounds put on another day, made a baseline or taken back when the codes were known. */
function seenRounds({ source, reveal }: RevealReading): Departure[] {
  const days = source.everWritten('round').flatMap(([thing, entry]) => {
    const before = source
      .history('round', thing)
      .findLast((one) => !writtenAfter(one, reveal.entry.clock));
    const was = factsOf(before?.value);
    if (was === undefined || sameJson(was, factsOf(entry.value) ?? null)) return [];
    return [String(was.day)];
  });
  if (days.length === 0) return [];
  const words = `${plural(days.length, 'round')} ${days.length === 1 ? 'was' : 'were'} changed or taken back after the codes were revealed on ${reveal.day} (${listed(days.sort())}).`;
  return [departure('changed-after-reveal', reveal.day, words)];
}

/** A reveal before the last planned round, and what was entered after it. */
export function revealDepartures(reading: RevealReading): Departure[] {
  const { reveal, schedule } = reading;
  const last = schedule?.planned.at(-1);
  const early = last !== undefined && (last.held?.day ?? last.day) > reveal.day;
  return [
    ...(early
      ? [
          departure(
            'revealed-early',
            reveal.day,
            `The codes were revealed on ${reveal.day}, before the last planned round (${last.held?.day ?? last.day})${because(reveal.why)}.`,
          ),
        ]
      : []),
    ...seenFigures(reading),
    ...seenRounds(reading),
  ];
}
