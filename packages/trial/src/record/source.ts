import { type Day, dayFromNumber, type Problem } from '@fairbed/field';
import type { z } from 'zod/mini';
import { shapeProblems } from '../shape';

/** One entry of a ledger, as far as a trial reads it. `clock` is text that sorts by time. */
export type Written = { readonly value: unknown; readonly who: string; readonly clock: string };

/** What a trial is folded from; a notebook's book is one. */
export type RecordSource = {
  /** Standing entries whose value is not null, in the order in which their things first came. */
  readonly things: (kind: string) => readonly (readonly [thing: string, entry: Written])[];
  /** As `things`, with those that were taken back: their latest entry has a value of null. */
  readonly everWritten: (kind: string) => readonly (readonly [thing: string, entry: Written])[];
  /** All entries of a thing in clock order; a value of null took back what stood before. */
  readonly history: (kind: string, thing: string) => readonly Written[];
};

/** A thing with its value in shape. */
export type Read<T> = { readonly thing: string; readonly value: T; readonly entry: Written };

/** A thing that was left out of the trial document, and why. Its entry stays in the ledger. */
export const leftOut = (what: string, remedy: string, code = 'left-out'): Problem => ({
  kind: 'fault',
  code,
  what,
  do: remedy,
});

/** The standing values of a kind that have its shape; the others are reported. */
export function readThings<T>(
  source: RecordSource,
  { kind, shape }: { readonly kind: string; readonly shape: z.ZodMiniType<T> },
  report: (problem: Problem) => void,
): Read<T>[] {
  return source.things(kind).flatMap(([thing, entry]) => {
    const read = shape.safeParse(entry.value);
    if (read.success) return [{ thing, value: read.data, entry }];
    const why = shapeProblems(read.error.issues, entry.value)[0]?.what ?? '';
    report(
      leftOut(
        `${kind} “${thing.slice(0, 60)}” was left out. ${why}`,
        'Enter it again.',
        'bad-value',
      ),
    );
    return [];
  });
}

/** Of two clocks or ids, which comes first; texts are compared sign by sign, not by language. */
export const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

const dayLength = 86_400_000;

/**
 * The day of a clock, whose first nine signs are milliseconds since 1970 in base 36. By world time
 * (UTC), so that every device says the same. Undefined where the clock has another form.
 */
export function dayOfClock(clock: string): Day | undefined {
  const digits = /^[0-9a-z]{9}/.exec(clock)?.[0];
  return digits === undefined
    ? undefined
    : dayFromNumber(Math.floor(Number.parseInt(digits, 36) / dayLength));
}
