import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numbersOf, readAnswers, readTable } from '../../oracle/read';
import { friedman } from './friedman';
import { kruskalWallis } from './kruskal-wallis';
import { midRanks } from './ranks';

const tol = { r: 1e-10, p: 1e-9 };

const answers = readAnswers('j_nonparametric') as Record<
  'friedman' | 'kruskal' | 'kruskal_ties',
  { stat: number; p: number }
>;
const open = readAnswers('linear') as Record<string, { kruskal: number; kruskal_p: number }>;

function matches(got: ReturnType<typeof friedman>, statistic: number, df: number, p: number) {
  if (!got.known) throw new Error(got.why);
  expect(got.df).toBe(df);
  expect(Math.abs(got.statistic / statistic - 1)).toBeLessThan(tol.r);
  expect(Math.abs(got.p / p - 1)).toBeLessThan(tol.p);
}

function groupsOf(file: string, value: string, group: string): number[][] {
  const rows = readTable(file);
  return [...new Set(rows.map((row) => row[group]))].map((name) =>
    numbersOf(
      rows.filter((row) => row[group] === name),
      value,
    ),
  );
}

describe('mid-ranks', () => {
  it('share the mean rank among ties, rounding noise included', () => {
    const { ranks, tieTerm } = midRanks([0.3, 7, 0.1 + 0.2, -1, 7, 7]);
    expect([...ranks]).toEqual([2.5, 5, 2.5, 1, 5, 5]);
    expect(tieTerm).toBe(8 - 2 + 27 - 3);
  });
});

describe("Friedman's test", () => {
  it('six treatments in five blocks, against friedman.test (R 4.2.2)', () => {
    const blocks = groupsOf('rcbd_6x5', 'y', 'block');
    matches(friedman(blocks), answers.friedman.stat, 5, answers.friedman.p);
  });

  it('with ties: rounding first base, Hollander & Wolfe 1973 p. 140: 11.1429, p .003805', () => {
    const times = `5.40 5.50 5.55; 5.85 5.70 5.75; 5.20 5.60 5.50; 5.55 5.50 5.40; 5.90 5.85 5.70;
      5.45 5.55 5.60; 5.40 5.40 5.35; 5.45 5.50 5.35; 5.25 5.15 5.00; 5.85 5.80 5.70; 5.25 5.20 5.10;
      5.65 5.55 5.45; 5.60 5.35 5.45; 5.05 5.00 4.95; 5.50 5.50 5.40; 5.45 5.55 5.50; 5.55 5.55 5.35;
      5.45 5.50 5.55; 5.50 5.45 5.25; 5.65 5.60 5.40; 5.70 5.65 5.55; 6.30 6.30 6.25`;
    const got = friedman(times.split(';').map((row) => row.trim().split(/\s+/).map(Number)));
    if (!got.known) throw new Error(got.why);
    expect(Math.abs(got.statistic - 11.1429)).toBeLessThan(5e-5);
    expect(Math.abs(got.p - 0.003805)).toBeLessThan(5e-7);
    expect(got.df).toBe(2);
  });

  it('says when there is nothing to compare', () => {
    expect(friedman([])).toEqual({ known: false, why: 'too-few' });
    expect(friedman([[1], [2]])).toEqual({ known: false, why: 'too-few' });
    expect(
      friedman([
        [2, 2, 2],
        [0.3, 0.1 + 0.2, 0.3],
      ]),
    ).toEqual({ known: false, why: 'all-tied' });
    expect(() =>
      friedman([
        [1, 2],
        [1, 2, 3],
      ]),
    ).toThrow('every block must have 2 values');
  });

  it('does not change with a block constant or a rising scale', () => {
    const blocks = fc.array(
      fc.array(fc.integer({ min: 0, max: 8 }), { minLength: 4, maxLength: 4 }),
      {
        minLength: 2,
        maxLength: 6,
      },
    );
    fc.assert(
      fc.property(blocks, (rows) => {
        const moved = rows.map((row, i) => row.map((value) => Math.sqrt(value + 1) + 10 * i));
        expect(friedman(moved)).toEqual(friedman(rows));
      }),
    );
  });
});

describe("Kruskal and Wallis's test", () => {
  it('against kruskal.test (R 4.2.2)', () => {
    const groups = groupsOf('rcbd_6x5', 'y', 'trt');
    matches(kruskalWallis(groups), answers.kruskal.stat, 5, answers.kruskal.p);
    const ties = groupsOf('leaf_4x4x6', 'diseased', 'trt');
    matches(kruskalWallis(ties), answers.kruskal_ties.stat, 3, answers.kruskal_ties.p);
  });

  it('counts of Beall 1942: 54.691; plant weights of Dobson 1983: 7.9882, p .01842', () => {
    const sprays = kruskalWallis(groupsOf('insect-sprays', 'count', 'spray'));
    matches(sprays, open.insect_sprays.kruskal, 5, open.insect_sprays.kruskal_p);
    expect(sprays.known && Math.abs(sprays.statistic - 54.691)).toBeLessThan(5e-4);
    const plants = kruskalWallis(groupsOf('plant-growth', 'weight', 'group'));
    matches(plants, open.plant_growth.kruskal, 2, open.plant_growth.kruskal_p);
    expect(plants.known && Math.abs(plants.statistic - 7.9882)).toBeLessThan(5e-5);
  });

  it('says when there is nothing to compare; leaves empty groups out', () => {
    expect(kruskalWallis([[1, 2]])).toEqual({ known: false, why: 'too-few' });
    expect(kruskalWallis([[1], [2]])).toEqual({ known: false, why: 'too-few' });
    expect(kruskalWallis([[5, 5], [5]])).toEqual({ known: false, why: 'all-tied' });
    expect(kruskalWallis([[1, 2], [], [3]])).toEqual(kruskalWallis([[1, 2], [3]]));
  });
});
