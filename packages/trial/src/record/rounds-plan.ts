import { type Day, dayFromNumber, dayNumber } from '@fairbed/field';

/** A round that was held. */
export type HeldRound = {
  readonly id: string;
  readonly day: Day;
  readonly name?: string | undefined;
};
type RoundsPlan = {
  readonly count: number;
  readonly everyDays: number;
  readonly firstDay?: Day | undefined;
};

/** A planned round: its day, and the round that was held for it. */
export type PlannedRound = {
  /** From 1. */
  readonly number: number;
  readonly day: Day;
  readonly held?: HeldRound;
  /** Days from the planned day to the day it was held; negative when early. */
  readonly late?: number;
};

export type Schedule = {
  readonly planned: readonly PlannedRound[];
  /** Rounds held that stand for no planned one. */
  readonly added: readonly HeldRound[];
};

/** A round may be held this many days off its day before it counts as late or early. */
export const graceDays = 2;

/** The day of each planned round: the first, then one every so many days. */
function plannedDays(plan: RoundsPlan, first: Day): Day[] {
  const start = dayNumber(first);
  return Array.from({ length: plan.count }, (_, i) =>
    dayFromNumber(start + i * plan.everyDays),
  ).filter((day) => day !== undefined);
}

/**
 * Matches held rounds to planned ones, both in order, so that the days between them add up to the
 * least, where a planned round that was missed and a round that was added each count half an
 * interval. Returns, for each planned round, the place of its held one. The least sum is found by
 * dynamic programming over both lists (the alignment of two sequences).
 */
function align(planned: readonly number[], held: readonly number[], every: number): number[] {
  const width = held.length + 1;
  const cost = new Float64Array((planned.length + 1) * width);
  const skip = every / 2;
  const at = (i: number, j: number): number => cost[i * width + j] ?? Infinity;
  const match = (i: number, j: number): number =>
    at(i - 1, j - 1) + Math.abs((planned[i - 1] ?? 0) - (held[j - 1] ?? 0));
  for (let i = 0; i <= planned.length; i++) {
    for (let j = 0; j <= held.length; j++) {
      if (i === 0 || j === 0) cost[i * width + j] = (i + j) * skip;
      else cost[i * width + j] = Math.min(match(i, j), at(i - 1, j) + skip, at(i, j - 1) + skip);
    }
  }
  const found = new Array<number>(planned.length).fill(-1);
  for (let i = planned.length, j = held.length; i > 0 && j > 0; ) {
    if (at(i, j) === match(i, j)) found[--i] = --j;
    else if (at(i, j) === at(i - 1, j) + skip) i--;
    else j--;
  }
  return found;
}

/**
 * The planned rounds and what became of each. Held rounds are matched to planned ones in order; a
 * round nearly a whole interval off counts as another one, missed here and added there. Without a
 * planned first day the first round held begins the count. Undefined where no rounds are planned,
 * or none has a day yet.
 */
export function scheduleOf(
  plan: RoundsPlan | undefined,
  rounds: readonly HeldRound[],
): Schedule | undefined {
  const held = rounds.toSorted((a, b) => dayNumber(a.day) - dayNumber(b.day));
  const first = plan?.firstDay ?? held[0]?.day;
  if (plan === undefined || first === undefined) return undefined;
  const days = plannedDays(plan, first);
  const found = align(
    days.map(dayNumber),
    held.map(({ day }) => dayNumber(day)),
    plan.everyDays,
  );
  const planned = days.map((day, i): PlannedRound => {
    const round = held[found[i] ?? -1];
    return round === undefined
      ? { number: i + 1, day }
      : { number: i + 1, day, held: round, late: dayNumber(round.day) - dayNumber(day) };
  });
  const used = new Set(found);
  return { planned, added: held.filter((_, j) => !used.has(j)) };
}
