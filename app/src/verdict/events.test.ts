import { readDay } from '@fairbed/field';
import { describe, expect, it } from 'vitest';
import { chartEvents } from './events';

const day = (text: string) => readDay(text)!;

describe('events on the time axis', () => {
  it('counts days from the earliest dated round, whatever the order of the rounds', () => {
    const rounds = [
      { id: 'b', day: day('2026-05-08') },
      { id: 'a', day: day('2026-05-01') },
    ];
    const events = [{ day: day('2026-05-11'), kind: 'storm' as const }];
    expect(chartEvents({ rounds, events })).toEqual([{ day: 10, label: 'Storm' }]);
  });

  it('has no axis to stand on where no round has a date', () => {
    const events = [{ day: day('2026-05-11'), kind: 'hail' as const }];
    expect(chartEvents({ rounds: [{ id: 'a' }], events })).toEqual([]);
  });
});
