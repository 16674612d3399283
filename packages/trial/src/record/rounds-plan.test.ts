import { type Day, dayFromNumber, dayNumber, readDay } from '@fairbed/field';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { scheduleOf } from './rounds-plan';

const day = (text: string): Day => {
  const read = readDay(text);
  if (read === undefined) throw new Error(`${text} is no day`);
  return read;
};
const after = (days: number): Day => dayFromNumber(dayNumber(day('2026-06-01')) + days) ?? day('');
const held = (...days: number[]) => days.map((n, i) => ({ id: `r${i}`, day: after(n) }));
const plan = (count: number, everyDays: number) => ({ count, everyDays, firstDay: after(0) });
const late = (...days: number[]) =>
  scheduleOf(plan(4, 7), held(...days))?.planned.map((round) => round.late);

it.each([
  ['on their days', [0, 7, 14, 21], [0, 0, 0, 0]],
  ['late by four, the next on its day', [0, 11, 14, 21], [0, 4, 0, 0]],
  ['one missed', [0, 14, 21], [0, undefined, 0, 0]],
  ['all shifted by three', [3, 10, 17, 24], [3, 3, 3, 3]],
  ['none yet', [], [undefined, undefined, undefined, undefined]],
  ['one early', [-1, 7], [-1, 0, undefined, undefined]],
])('rounds held %s', (_name, days, expected) => {
  expect(late(...days)).toEqual(expected);
});

it('counts a round that stands for no planned one as added', () => {
  expect(scheduleOf(plan(2, 7), held(0, 7, 20))?.added.map(({ day: on }) => on)).toEqual([
    '2026-06-21',
  ]);
});

it('begins with the first round held where the plan names no day', () => {
  const rounds = held(2, 9);
  const schedule = scheduleOf({ count: 3, everyDays: 7 }, rounds);
  expect(schedule?.planned.map(({ day: on }) => on)).toEqual([
    '2026-06-03',
    '2026-06-10',
    '2026-06-17',
  ]);
  expect(scheduleOf({ count: 3, everyDays: 7 }, [])).toBeUndefined();
  expect(scheduleOf(undefined, rounds)).toBeUndefined();
});

/** The least cost by trying every matching in order. */
function leastCost(planned: readonly number[], rounds: readonly number[], skip: number): number {
  if (planned.length === 0 || rounds.length === 0) return (planned.length + rounds.length) * skip;
  const [p, ...restP] = planned;
  const [r, ...restR] = rounds;
  return Math.min(
    Math.abs(p - r) + leastCost(restP, restR, skip),
    skip + leastCost(restP, rounds, skip),
    skip + leastCost(planned, restR, skip),
  );
}

it('matches at the least cost of all matchings in order', () => {
  const days = fc.uniqueArray(fc.integer({ min: 0, max: 40 }), { maxLength: 5 });
  fc.assert(
    fc.property(
      days,
      fc.integer({ min: 1, max: 5 }),
      fc.integer({ min: 1, max: 10 }),
      (ns, count, every) => {
        const schedule = scheduleOf(plan(count, every), held(...ns));
        if (schedule === undefined) throw new Error('no schedule');
        const missed = schedule.planned.filter((round) => round.held === undefined).length;
        const off = schedule.planned.reduce((sum, round) => sum + Math.abs(round.late ?? 0), 0);
        const slots = Array.from({ length: count }, (_, i) => i * every);
        const least = leastCost(
          slots,
          ns.toSorted((a, b) => a - b),
          every / 2,
        );
        expect(off + (missed + schedule.added.length) * (every / 2)).toBeCloseTo(least, 9);
      },
    ),
    { numRuns: 200, seed: 1 },
  );
});
