import type { Mapping } from '@fairbed/files';
import { describe, expect, it } from 'vitest';
import { choiceOf, choose, chooseMeasure, roleWords, roles, wideOffer } from './roles';

const guess: Mapping = {
  version: 1,
  columns: [
    { column: 'trt', role: 'treatment' },
    { column: 'rep', role: 'block' },
  ],
  wide: [
    {
      measure: 'severity',
      columns: [
        { column: 'w1', date: '2026-05-01' },
        { column: 'w2', date: '2026-05-08' },
        { column: 'w3', date: '2026-05-15' },
      ],
    },
  ],
};

describe('what a column is taken for', () => {
  it('names every role once', () => {
    expect(new Set(Object.values(roleWords)).size).toBe(roles.length);
  });

  it('gives a single role to one column only', () => {
    const next = choose(guess, guess, 'rep', 'treatment');
    expect(choiceOf(next, 'rep')).toBe('treatment');
    expect(choiceOf(next, 'trt')).toBe('ignore');
  });

  it('lets two columns together name a plant', () => {
    const next = choose(choose(guess, guess, 'trt', 'plant'), guess, 'rep', 'plant');
    expect([choiceOf(next, 'trt'), choiceOf(next, 'rep')]).toEqual(['plant', 'plant']);
  });

  it('takes a column out of its group and puts it back in its place', () => {
    const out = choose(guess, guess, 'w2', 'ignore');
    expect(choiceOf(out, 'w2')).toBe('ignore');
    expect(out.wide?.[0]?.columns.map((c) => c.column)).toEqual(['w1', 'w3']);
    expect(wideOffer(guess, out, 'w2')).toBe('Leaf area diseased, %, by date');
    expect(choose(out, guess, 'w2', 'wide').wide).toEqual(guess.wide);
  });

  it('keeps a measure that was chosen for the group when a column comes back', () => {
    const graded = chooseMeasure(choose(guess, guess, 'w1', 'note'), 0, 'grade');
    const back = choose(graded, guess, 'w1', 'wide');
    expect(back.wide?.[0]).toMatchObject({ measure: 'grade' });
    expect(back.wide?.[0]?.columns.map((c) => c.column)).toEqual(['w1', 'w2', 'w3']);
  });

  it('makes the group anew when all its columns had left', () => {
    const empty = ['w1', 'w2', 'w3'].reduce((m, c) => choose(m, guess, c, 'ignore'), guess);
    expect(empty.wide).toBeUndefined();
    expect(choose(empty, guess, 'w3', 'wide').wide?.[0]?.columns).toEqual([
      { column: 'w3', date: '2026-05-15' },
    ]);
  });
});
