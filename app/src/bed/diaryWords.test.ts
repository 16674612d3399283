import { namesOf } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { diaryWords } from './diaryWords';

const trial = {
  treatments: [{ id: 'M', name: 'Skim milk', kind: 'product' as const }],
  plots: [{ id: 'p1', code: 'K7F', treatment: 'M' }],
};
const blind = { trial, names: namesOf(trial) };
const seen = { trial, names: namesOf(trial, true) };
const spray = {
  day: '2026-05-04',
  time: '07:30',
  treatment: 'M',
  plots: ['p1'],
  activeIngredient: 'milk proteins',
  rate: { amount: 100, unit: 'ml/l' },
  reentryHours: 24,
  by: 'Ann',
  note: 'milk left over',
};

describe('the diary', () => {
  it('tells of a spray without what was sprayed or where, until the reveal', () => {
    expect(diaryWords('spray', spray, blind)).toBe(
      'Sprayed at 07:30 by Ann. Keep out for 24 hours.',
    );
  });

  it('tells all of a spray after it', () => {
    expect(diaryWords('spray', spray, seen)).toBe(
      'Sprayed Skim milk at 07:30 by Ann. milk proteins. 100 ml/l. Keep out for 24 hours. Plots K7F. milk left over.',
    );
  });

  it('calls plots by their codes in events, harvests and notes', () => {
    expect(diaryWords('event', { day: '', kind: 'hail', plots: ['p1'] }, blind)).toBe(
      'Hail. Plots K7F.',
    );
    expect(diaryWords('harvest', { day: '', plot: 'p1', grams: 140, pieces: 1 }, blind)).toBe(
      'Harvested plot K7F: 140 g, 1 piece.',
    );
    expect(diaryWords('note', { day: '', plot: 'p1', text: 'Slugs seen' }, blind)).toBe(
      'Plot K7F: Slugs seen.',
    );
  });
});
