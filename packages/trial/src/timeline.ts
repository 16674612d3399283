import { dayNumber, type Problem } from '@fairbed/field';
import type { Round, Trial } from './schema';

/** The rounds in the order they happened, and when. */
export type Timeline = {
  readonly rounds: readonly Round[];
  /** Days after the first round; the places 0, 1, 2 ... where nothing says when they were. */
  readonly days: readonly number[];
  /** Where the days come from: dates, days written as numbers, or only the order of the list. */
  readonly clock: 'dates' | 'numbers' | 'order';
  readonly notes: readonly Problem[];
};

/** `7`, `7.5`, `-1` or `day 7`; not the empty text, not `week 7`. */
function numberOf(name: string | undefined): number | undefined {
  const found = /^\s*(?:day\s*)?(-?\d+(?:\.\d+)?)\s*$/i.exec(name ?? '');
  return found ? Number(found[1]) : undefined;
}

/** Bare 1, 2, 3 ... number the rounds; anything else, or the word day, numbers days. */
function areDays(names: readonly (string | undefined)[], numbers: readonly number[]): boolean {
  if (new Set(numbers).size < numbers.length) return false;
  if (names.some((name) => /day/i.test(name ?? ''))) return true;
  const rising = numbers.toSorted((a, b) => a - b);
  return rising.some((n, i) => i > 0 && n - (rising[i - 1] ?? n) !== 1);
}

function sorted(
  rounds: readonly Round[],
  when: readonly number[],
  clock: Timeline['clock'],
  notes: readonly Problem[],
): Timeline {
  const order = rounds.map((_, i) => i).sort((a, b) => (when[a] ?? 0) - (when[b] ?? 0) || a - b);
  const start = when[order[0] ?? 0] ?? 0;
  return {
    rounds: order.flatMap((i) => rounds[i] ?? []),
    days: order.map((i) => (when[i] ?? 0) - start),
    clock,
    notes,
  };
}

const allKnown = (list: readonly (number | undefined)[]): list is readonly number[] =>
  list.every((n) => n !== undefined);

/**
 * The rounds by date where every round has one; else by `at`; else by names that number days
 * (`0`, `7`, `14` or `day 7`; bare `1`, `2`, `3` only number the rounds), which is said; else in the
 * order of the list, counted 0, 1, 2.
 */
export function timelineOf(trial: Pick<Trial, 'rounds'>): Timeline {
  const { rounds } = trial;
  const dates = rounds.map(({ day }) => (day === undefined ? undefined : dayNumber(day)));
  if (allKnown(dates)) return sorted(rounds, dates, 'dates', []);
  const numbers = rounds.map(({ at }) => at);
  if (allKnown(numbers)) return sorted(rounds, numbers, 'numbers', []);
  const names = rounds.map(({ name }) => numberOf(name));
  if (
    allKnown(names) &&
    areDays(
      rounds.map(({ name }) => name),
      names,
    )
  ) {
    return sorted(rounds, names, 'numbers', [
      {
        kind: 'note',
        code: 'days-from-names',
        what: 'The rounds have no dates; their names are numbers and were taken as days.',
        do: 'Give the rounds their dates if the names mean something else.',
      },
    ]);
  }
  const some = dates.some((day) => day !== undefined);
  return sorted(
    rounds,
    rounds.map((_, i) => i),
    'order',
    rounds.length < 2
      ? []
      : [
          {
            kind: 'note',
            code: 'rounds-without-dates',
            what: `${some ? 'Not every round has a date' : 'The rounds have no dates'}; they were taken as evenly spaced, in the order listed.`,
            do: 'Add the dates, so that areas under the curve are in days.',
          },
        ],
  );
}
