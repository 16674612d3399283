import { readDay } from '@fairbed/field';
import { describe, expect, it } from 'vitest';
import { timelineOf } from './timeline';

const named = (names: readonly string[]) => ({ rounds: names.map((name) => ({ id: name, name })) });

describe('timelineOf', () => {
  it('goes by dates, whatever the order of the list', () => {
    const rounds = ['2026-03-01', '2026-02-27', '2026-03-15'].map((text) => ({
      id: text,
      day: readDay(text)!,
    }));
    const { days, clock, rounds: sorted } = timelineOf({ rounds });
    expect(clock).toBe('dates');
    expect(days).toEqual([0, 2, 16]);
    expect(sorted[0]?.id).toBe('2026-02-27');
  });

  it('goes by days written as numbers', () => {
    const rounds = [
      { id: 'a', at: 10 },
      { id: 'b', at: 3.5 },
    ];
    expect(timelineOf({ rounds })).toMatchObject({ days: [0, 6.5], clock: 'numbers', notes: [] });
  });

  it.each([
    [
      ['0', '7', '14'],
      [0, 7, 14],
    ],
    [
      ['day 0', 'day 1', 'day 2'],
      [0, 1, 2],
    ],
    [
      ['Day 9', 'day 2'],
      [0, 7],
    ],
  ])('takes the names %j for days, and says so', (names, days) => {
    const timeline = timelineOf(named(names));
    expect(timeline.days).toEqual(days);
    expect(timeline.clock).toBe('numbers');
    expect(timeline.notes.map(({ code }) => code)).toEqual(['days-from-names']);
  });

  it.each([[['1', '2', '3']], [['week 1', 'week 3']], [['first', 'second']], [['7', '7.0']]])(
    'does not take the names %j for days',
    (names) => {
      const timeline = timelineOf(named(names));
      expect(timeline.clock).toBe('order');
      expect(timeline.days).toEqual(names.map((_, i) => i));
    },
  );

  it('keeps the order of the list where one date is missing, and says so', () => {
    const timeline = timelineOf({
      rounds: [{ id: 'a', day: readDay('2026-03-01')! }, { id: 'b' }],
    });
    expect(timeline.clock).toBe('order');
    expect(timeline.notes[0]?.what).toContain('Not every round has a date');
  });

  it('has nothing to say of a single round', () => {
    expect(timelineOf({ rounds: [{ id: 'a' }] })).toMatchObject({ days: [0], notes: [] });
  });
});
