import { type Day, daysBetween } from '@fairbed/field';
import {
  namesOf,
  type Round,
  roundState,
  type RoundState,
  scheduleOf,
  type Trial,
} from '@fairbed/trial';
import type { OpenBook } from '../book/liveBook';
import type { Value } from '../book/plain';

/** A round may be finished so many days after it was begun. */
const graceDays = 2;

type Dated = Round & { readonly day: Day };

/** Rounds with a day; those of a ledger all have one. */
export const datedRounds = (trial: Pick<Trial, 'rounds'>): readonly Dated[] =>
  trial.rounds.flatMap((round) => (round.day === undefined ? [] : [{ ...round, day: round.day }]));

/** Rounds that were held: with a figure, a skip, or their scorer's word that they are done. */
export function heldRounds(trial: Pick<Trial, 'rounds' | 'scores' | 'skipped'>): readonly Dated[] {
  const touched = new Set([...trial.scores, ...(trial.skipped ?? [])].map(({ round }) => round));
  return datedRounds(trial).filter(({ id, done }) => done === true || touched.has(id));
}

/** The round that is under way: the last begun, by today, that is not done. */
export function roundUnderWay(trial: Pick<Trial, 'rounds'>, today: Day): Dated | undefined {
  const last = datedRounds(trial)
    .filter(({ day }) => day <= today)
    .at(-1);
  return last?.done === true ? undefined : last;
}

/**
 * The round in which a figure of `today` belongs: that of today, or one begun at most two days ago
 * of which plants are missing. Last week's figures are never written over by a slip.
 */
export function roundToScore(trial: Trial, today: Day): Dated | undefined {
  const last = roundUnderWay(trial, today);
  if (last === undefined || last.day === today) return last;
  const fresh = daysBetween(last.day, today) <= graceDays;
  return fresh && roundState(trial, last.id)?.complete === false ? last : undefined;
}

/**
 * A round is called by its day: two devices that know nothing of each other then mean one round by
 * one name, and two rounds by two. Where that name was ever used (and the round taken back, or put
 * on another day), `2026-05-04-2` and so on.
 */
export function roundIdFor(day: Day, everBegun: Iterable<string>): string {
  const taken = new Set(everBegun);
  let id: string = day;
  for (let n = 2; taken.has(id); n++) id = `${day}-${n}`;
  return id;
}

function roundValue(trial: Trial, day: Day, baseline: boolean): Value {
  const rule = trial.plan?.stripping;
  const strips = rule === 'all-diseased' ? true : rule === 'none' ? false : undefined;
  return {
    day,
    stripping: baseline ? undefined : strips,
    blind: !namesOf(trial).revealed,
    ...(baseline ? { baseline } : {}),
  };
}

const dayOf = (value: unknown): unknown =>
  typeof value === 'object' && value !== null && 'day' in value ? value.day : undefined;

/**
 * Begins a round on a day and gives its id; where one was begun on that day already, that one.
 * Written at once, and on disk soon after: nobody waits for it in the bed.
 */
export function beginRound(
  open: OpenBook,
  day: Day,
  { baseline = false }: { readonly baseline?: boolean } = {},
): string {
  const known = open.book.things('round').find(([, { value }]) => dayOf(value) === day);
  if (known !== undefined) return known[0];
  const id = roundIdFor(
    day,
    open.book.everWritten('round').map(([thing]) => thing),
  );
  void open.write('round', id, roundValue(open.trial(), day, baseline));
  return id;
}

/** What became of a round: planned ones and those held without a plan. */
export type RoundRow = {
  /** Its number in the plan; undefined where it was not planned. */
  readonly number?: number;
  readonly planned?: Day;
  readonly round?: Dated;
  /** Days from the planned day to the day it was held. */
  readonly late?: number;
  readonly state: 'held' | 'open' | 'missed' | 'overdue' | 'today' | 'ahead';
  readonly counts?: RoundState;
};

/** Planned and held rounds in the order of their days, and what became of each by `today`. */
export function roundRows(trial: Trial, today: Day): readonly RoundRow[] {
  const dated = datedRounds(trial);
  const byId = new Map(dated.map((round) => [round.id, round]));
  const schedule = scheduleOf(trial.plan?.rounds, dated);
  const held = (id: string): Pick<RoundRow, 'round' | 'counts' | 'state'> => {
    const round = byId.get(id);
    const counts = roundState(trial, id);
    const state = round?.done === true || counts?.complete === true ? 'held' : 'open';
    return { ...(round ? { round } : {}), ...(counts ? { counts } : {}), state };
  };
  if (schedule === undefined) return dated.map(({ id }) => held(id));
  const { planned, added } = schedule;
  const lastHeld = planned.findLastIndex((one) => one.held !== undefined);
  const rows = planned.map((one, i): RoundRow => {
    const about = { number: one.number, planned: one.day };
    if (one.held !== undefined) return { ...about, late: one.late ?? 0, ...held(one.held.id) };
    const next = planned[i + 1];
    const gone = i < lastHeld || (next !== undefined && next.day <= today);
    if (gone) return { ...about, state: 'missed' };
    return { ...about, state: one.day < today ? 'overdue' : one.day === today ? 'today' : 'ahead' };
  });
  const all = [...rows, ...added.map(({ id }) => held(id))];
  const dayOfRow = ({ round, planned: day }: RoundRow): string => round?.day ?? day ?? '';
  return all.sort((a, b) => (dayOfRow(a) < dayOfRow(b) ? -1 : dayOfRow(a) > dayOfRow(b) ? 1 : 0));
}

/** The day of the last planned round, where a reveal on `today` would come before it. */
export function revealWouldBeEarly(trial: Trial, today: Day): Day | undefined {
  const last = scheduleOf(trial.plan?.rounds, heldRounds(trial))?.planned.at(-1);
  const day = last?.held?.day ?? last?.day;
  return day !== undefined && day > today ? day : undefined;
}
