import type { Trial } from '@fairbed/trial';
import type { Judgement } from '@fairbed/verdict';
import { describe, expect, it } from 'vitest';
import { cardOf, freeTitle, summaryOf } from './card';

const smallTrial: Trial = {
  format: 'fairbed-trial',
  version: 1,
  id: 'beans',
  title: 'Beans',
  diseases: [],
  beds: [],
  treatments: [
    { id: 'u', name: 'Untreated', kind: 'untreated' },
    { id: 'm', name: 'Milk', kind: 'unstated' },
  ],
  design: { kind: 'unreplicated' },
  blocks: [],
  plots: [
    { id: 'p1', treatment: 'u' },
    { id: 'p2', treatment: 'm' },
  ],
  plants: [],
  rounds: [{ id: 'r1' }],
  scores: [],
  times: [],
  sprays: [],
  events: [],
  harvests: [],
};

describe('a card', () => {
  it('counts what the trial holds', () => {
    expect(cardOf(smallTrial, 12, 'beans.csv')).toEqual({
      id: 'beans',
      title: 'Beans',
      invented: false,
      plots: 2,
      treatments: 2,
      rounds: 1,
      addedAt: 12,
      fileName: 'beans.csv',
    });
    expect(cardOf({ ...smallTrial, invented: true }, 12)).toMatchObject({ invented: true });
  });

  it('carries the sentence and its grade, and which release said it', () => {
    const verdict = { sentence: 'Milk was no better.', grade: 'a hint' } as Judgement['verdict'];
    expect(summaryOf({ verdict } as Judgement, '9.9')).toEqual({
      sentence: 'Milk was no better.',
      grade: 'a hint',
      version: '9.9',
    });
  });

  it('gives a second trial of the same name a name of its own', () => {
    expect(freeTitle('Beans', [])).toBe('Beans');
    expect(freeTitle('Beans', ['Beans'])).toBe('Beans (2)');
    expect(freeTitle('Beans', ['Beans', 'Beans (2)', 'Peas'])).toBe('Beans (3)');
  });
});
