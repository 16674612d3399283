import { readFileSync } from 'node:fs';
import { readTrial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { checkFile } from './check';
import { trialToPackage } from './datapackage';
import { guessMapping } from './guess';
import { readTable } from './readtable';
import type { TrialOptions } from './found';
import { tableToTrial } from './totrial';

const bytesOf = (path: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(path, import.meta.url)));
const open = (name: string, options: TrialOptions = {}) => {
  const { table } = readTable(bytesOf(`../../../data/open/${name}`), name);
  if (!table) throw new Error('no table');
  const { mapping, questions } = guessMapping(table);
  const result = tableToTrial(table, mapping, options);
  expect(readTrial(result.trial).ok).toBe(true);
  return { ...result, asked: questions.map((q) => q.code) };
};

describe('open data', () => {
  it('reads the grape counts: shares as published', () => {
    const { trial, rows, asked } = open('grape-downy-mildew.csv');
    expect([rows, asked, trial.plots.length, trial.plants.length]).toEqual([
      { read: 270, used: 270, set_aside: 0 },
      [],
      18,
      54,
    ]);
    // Shares of diseased leaves T1..T6 computed in R 4.2.2 from hughes.grapes (agridat).
    const shares = trial.treatments.map(({ id }) => {
      const plots = new Set(trial.plots.filter((p) => p.treatment === id).map((p) => p.id));
      const own = trial.scores.filter((s) => plots.has(s.plot));
      const sum = (key: 'diseased' | 'standing'): number =>
        own.reduce((total, s) => total + (s[key] ?? 0), 0);
      return (sum('diseased') / sum('standing')).toFixed(4);
    });
    expect(shares).toEqual(['0.6623', '0.0751', '0.0272', '0.0413', '0.0355', '0.0742']);
  });

  it('reads the mungbean grades once it is told that 1 is healthy, and asks before', () => {
    const before = open('mungbean-fungicide-timing.csv');
    expect(before.asked).toEqual(['what-measure', 'grade-healthy']);
    expect(before.rows.used).toBe(0);
    const { trial, rows } = open('mungbean-fungicide-timing.csv', {
      gradeClasses: [1, 2, 3, 4, 5, 6, 7, 8, 9],
      healthyGrade: 1,
    });
    expect(rows).toEqual({ read: 30, used: 30, set_aside: 0 });
    expect([
      trial.design.kind,
      trial.blocks.length,
      trial.rounds.length,
      trial.scores.length,
    ]).toEqual(['randomised-blocks', 5, 5, 150]);
    // Trapezoid areas under the raw grades by treatment, means over blocks, computed in R 4.2.2.
    const day = new Map(trial.rounds.map((r) => [r.id, Date.parse(r.day ?? '') / 86_400_000]));
    const area = (plot: string): number => {
      const points = trial.scores
        .filter((s) => s.plot === plot)
        .map((s) => [day.get(s.round) ?? NaN, s.grade ?? NaN]);
      return points
        .slice(1)
        .reduce((sum, [x, y], i) => sum + ((x - points[i][0]) * (y + points[i][1])) / 2, 0);
    };
    const means = Object.fromEntries(
      trial.treatments.map((t) => {
        const plots = trial.plots.filter((p) => p.treatment === t.id);
        return [t.name, (plots.reduce((sum, p) => sum + area(p.id), 0) / plots.length).toFixed(1)];
      }),
    );
    expect(Object.values(means).sort()).toEqual([
      '103.5',
      '111.4',
      '123.7',
      '129.6',
      '130.9',
      '58.1',
    ]);
    expect(means['control']).toBe('129.6');
  });
});

describe('the five bad sheets', () => {
  const found = (name: string) => {
    const { faults, rows } = checkFile(bytesOf(`../oracle/bad/${name}`), name);
    expect(rows.used + rows.set_aside).toBe(rows.read);
    return {
      rows,
      faults: faults.filter((p) => p.kind !== 'note').map((p) => [p.code, p.row, p.column]),
    };
  };

  it.each([
    [
      '1-impossible-counts.csv',
      2,
      [
        ['diseased-over', 14, 'diseased'],
        ['negative', 30, 'leaves'],
      ],
    ],
    [
      '2-twice-and-misspelt.csv',
      4,
      [
        ['duplicate', 10, undefined],
        ['duplicate', 12, undefined],
        ['spelt-two-ways', 21, 'Behandlung'],
      ],
    ],
    [
      '3-words-and-open-dates.csv',
      27,
      [
        ['text-in-numbers', 10, 'severity'],
        ['date-order', 4, 'date'],
      ],
    ],
    [
      '4-wide-over-100-and-mean-row.tsv',
      1,
      [
        ['over-100', 6, 'severity week 3'],
        ['totals-row', 11, 'treatment'],
      ],
    ],
    [
      '5-formula-and-swapped-plot.xlsx',
      3,
      [
        ['plot-two-ways', 8, undefined],
        ['formula-unsaved', 9, 'diseased'],
        ['plot-two-ways', 20, undefined],
      ],
    ],
  ])('%s', (name, aside, faults) => {
    const result = found(name);
    expect(result.faults.filter(([code]) => code !== 'blocks-with-gaps')).toEqual(faults);
    expect(result.rows.set_aside).toBe(aside);
  });
});

describe('checking a data package', () => {
  it('finds nothing wrong in one of our own', () => {
    const { trial } = open('grape-downy-mildew.csv');
    expect(checkFile(trialToPackage(trial), 'trial.zip')).toEqual({
      faults: [],
      rows: { read: 270, used: 270, set_aside: 0 },
    });
  });
});
