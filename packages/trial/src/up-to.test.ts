import { readDay } from '@fairbed/field';
import { describe, expect, it } from 'vitest';
import type { Trial } from './schema';
import { upTo } from './up-to';

const day = (text: string) => readDay(text)!;

const trial: Trial = {
  format: 'fairbed-trial',
  version: 1,
  id: 'looked-at',
  title: 'Invented',
  diseases: [],
  beds: [],
  treatments: [{ id: 'a', name: 'A', kind: 'untreated' }],
  design: { kind: 'completely-randomised' },
  blocks: [],
  plots: [
    { id: 'p1', treatment: 'a', lost: { day: day('2026-05-20'), why: 'slugs' } },
    { id: 'p2', treatment: 'a', lost: { day: day('2026-05-01'), why: 'slugs' } },
  ],
  plants: [],
  rounds: [
    { id: 'late', day: day('2026-05-18') },
    { id: 'early', day: day('2026-05-04') },
    { id: 'middle', day: day('2026-05-11') },
  ],
  scores: ['early', 'middle', 'late'].map((round) => ({ plot: 'p1', round, value: 1 })),
  times: [{ plot: 'p1', event: 'heading', days: 14, happened: true }],
  sprays: [
    { day: day('2026-05-11'), treatment: 'a' },
    { day: day('2026-05-12'), treatment: 'a' },
  ],
  events: [],
  harvests: [],
};

describe('a trial as it stood after a round', () => {
  const then = upTo(trial, 'middle')!;

  it('keeps the rounds so far, by their days, and their scores', () => {
    expect(then.rounds.map(({ id }) => id)).toEqual(['early', 'middle']);
    expect(then.scores.map(({ round }) => round)).toEqual(['early', 'middle']);
  });

  it('knows nothing of what came later', () => {
    expect(then.sprays.map((spray) => spray.day)).toEqual(['2026-05-11']);
    expect(then.plots.map(({ lost }) => lost?.day)).toEqual([undefined, '2026-05-01']);
    expect(then.times).toEqual([]);
  });

  it('is the trial itself after the last round, and nothing after a round it has not', () => {
    expect(upTo(trial, 'late')).toBe(trial);
    expect(upTo(trial, 'never')).toBeUndefined();
  });
});
