import { readFileSync } from 'node:fs';
import { readTrial } from '@fairbed/trial';
import { judge, type MethodUsed } from '@fairbed/verdict';
import { describe, expect, it } from 'vitest';
import type { View } from '../route';
import type { LookChoice } from '../work/desk';
import {
  methodChoices,
  methodShown,
  nearestAsks,
  outcomesAt,
  withChoice,
  withLook,
} from './choices';
import { lookChoices, lookTitle } from './lookTitles';

const looks: readonly LookChoice[] = [
  { id: 'r1', day: '2026-05-04', outcomes: ['incidence-last'] },
  { id: 'r2', name: 'before the storm', outcomes: ['incidence-last', 'incidence-first'] },
  {
    id: 'r3',
    day: '2026-05-18',
    outcomes: ['audpc-incidence', 'incidence-last', 'incidence-first'],
  },
];
const outcomes = [
  { id: 'audpc-incidence', title: 'Area' },
  { id: 'incidence-last', title: 'Last round' },
  { id: 'incidence-first', title: 'First round' },
];
const method: MethodUsed = {
  used: 'leaves',
  rule: 'A value for each plot.',
  asked: true,
  offered: [
    { id: 'plots', title: 'one value a plot' },
    { id: 'leaves', title: 'leaves as counts' },
  ],
};

describe('a choice', () => {
  it('changes that and leaves the rest; an empty one is the trial’s own again', () => {
    const view: View = { outcome: 'incidence-last', control: 'A', worth: 20 };
    expect(withChoice(view, 'control', 'B')).toEqual({ ...view, control: 'B' });
    expect(withChoice(view, 'control', '')).toEqual({ outcome: 'incidence-last', worth: 20 });
  });

  it('of what is judged gives the method back to the rule', () => {
    const view: View = { method: 'leaves', control: 'A' };
    expect(withChoice(view, 'outcome', 'severity-last')).toEqual({
      outcome: 'severity-last',
      control: 'A',
    });
    expect(withChoice(view, 'look', 'r1')).toEqual({ look: 'r1', control: 'A' });
    expect(withChoice(view, 'control', 'B')).toEqual({ method: 'leaves', control: 'B' });
  });

  it('of a look keeps only what could be had by then', () => {
    const view: View = { outcome: 'audpc-incidence', baseline: 'incidence-first' };
    expect(withLook(view, looks, 'r1')).toEqual({ look: 'r1' });
    expect(withLook(view, looks, 'r2')).toEqual({ look: 'r2', baseline: 'incidence-first' });
    expect(withLook({ ...view, look: 'r1' }, looks, '')).toEqual(view);
  });
});

describe('what may be chosen', () => {
  it('are the outcomes of that look, or all', () => {
    expect(outcomesAt(outcomes, looks, {})).toBe(outcomes);
    expect(outcomesAt(outcomes, looks, { look: 'r2' }).map(({ id }) => id)).toEqual([
      'incidence-last',
      'incidence-first',
    ]);
  });

  it('marks the method of the rule, whichever is used', () => {
    expect(methodChoices(method)).toEqual([
      { id: 'plots', title: 'one value a plot (by the rule)' },
      { id: 'leaves', title: 'leaves as counts' },
    ]);
  });

  it('shows the method asked for, or the one used where that is not offered', () => {
    expect(methodShown(method, {})).toBe('leaves');
    expect(methodShown(method, { method: 'plots' })).toBe('plots');
    expect(methodShown(method, { method: 'days' })).toBe('leaves');
  });

  it('names a look by its round and day', () => {
    expect(lookTitle(looks, 'r1')).toBe('round 1, 4\u00a0May');
    expect(lookTitle(looks, 'r2')).toBe('before the storm');
    expect(lookChoices(looks)).toEqual([
      { id: '', title: 'All rounds, 18\u00a0May' },
      { id: 'r2', title: 'Up to before the storm' },
      { id: 'r1', title: 'Up to round 1, 4\u00a0May' },
    ]);
  });
});

describe('what may be asked next', () => {
  it('is everything one choice away, as it will be asked', () => {
    const path = new URL('../../../data/demo/leek-rust-one-plot-each.json', import.meta.url);
    const read = readTrial(JSON.parse(readFileSync(path, 'utf8')));
    if (!read.ok) throw new Error('The demo of leeks is gone.');
    const held = { trial: read.trial, outcomes, book: false };
    const judgement = { ...judge(read.trial), method };
    const asks = nearestAsks({ worth: 20 }, held, judgement, looks);
    expect(asks).toContainEqual({ worthHavingPercent: 20, outcome: 'incidence-last', brief: true });
    expect(asks).toContainEqual({ worthHavingPercent: 20, method: 'leaves', brief: true });
    expect(asks).toContainEqual({ worthHavingPercent: 20, look: 'r1', brief: true });
    expect(asks).toContainEqual({ worthHavingPercent: 20, brief: true });
    expect(asks.some(({ outcome }) => outcome === 'incidence-first')).toBe(false);
    for (const { name } of read.trial.treatments) {
      expect(asks).toContainEqual({ worthHavingPercent: 20, control: name, brief: true });
    }
  });
});
