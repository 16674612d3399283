import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numbersOf, readAnswers, readTable } from '../../oracle/read';
import { exactTest } from '../exact/exact-test';
import { createRandom } from '../random';
import { blockedRankScores, blockedRankTest } from './blocked-ranks';
import { friedman } from './friedman';
import { kruskalWallis } from './kruskal-wallis';
import { scoresByPlot } from './score-test';

// R's sampled p-values rest on 200,000 draws: 4 standard errors of p near 0.04 are 0.0018.
const tol = { r: 1e-9, sampled: 0.002 };

type Answer = { statistic: number; p: number };
const R = readAnswers('ranks') as Record<
  | 'elteren_even'
  | 'elteren_even_two'
  | 'elteren_uneven'
  | 'elteren_uneven_two'
  | 'kruskal_uneven_no_blocks'
  | 'friedman_plots'
  | 'friedman_plots_sampled'
  | 'pairs'
  | 'pairs_exact'
  | 'pairs_sampled',
  Answer
> & { pairs_y: number[] };

type Columns = { values: number[]; group: number[]; groups: number; block: number[] };

function columnsOf(rows: readonly Readonly<Record<string, string>>[], treatments: string): Columns {
  const kept = rows.filter(({ trt }) => treatments.includes(trt));
  return {
    values: numbersOf(kept, 'diseased'),
    group: kept.map(({ trt }) => treatments.indexOf(trt)),
    groups: treatments.length,
    block: kept.map(({ block }) => Number(block.slice(1))),
  };
}

function matches(got: ReturnType<typeof blockedRankTest>, { statistic, p }: Answer) {
  if (!got.known) throw new Error(got.why);
  expect(Math.abs(got.statistic / statistic - 1)).toBeLessThan(tol.r);
  expect(Math.abs(got.p / p - 1)).toBeLessThan(tol.r);
}

const leaf = readTable('leaf_4x4x6');
// The plants that R's script leaves out.
const left = new Set([2, 3, 9, 28, 29, 30, 31, 32, 55, 71, 90]);
const uneven = leaf.filter((_, i) => !left.has(i + 1));

/** Plot means of the leaf counts: one plot of each of four treatments in four blocks. */
function plotMeans() {
  const { values, group, block } = columnsOf(leaf, 'ABCD');
  const plot = group.map((g, i) => (block[i] - 1) * 4 + g);
  return {
    values: [...scoresByPlot(values, plot, 16, 'mean')],
    group: Array.from({ length: 16 }, (_, p) => p % 4),
    groups: 4,
    block: Array.from({ length: 16 }, (_, p) => Math.floor(p / 4)),
  };
}

const strata = (block: readonly number[]) => ({
  kind: 'strata' as const,
  strata: [...new Set(block)].map((b) => block.flatMap((c, i) => (c === b ? [i] : []))),
});

describe('ranks within blocks, against coin 1.4-2 (R 4.2.2)', () => {
  it('two and four treatments, blocks of one size', () => {
    matches(blockedRankTest(columnsOf(leaf, 'ABCD')), R.elteren_even);
    matches(blockedRankTest(columnsOf(leaf, 'AC')), R.elteren_even_two);
  });

  it('van Elteren weights, blocks of unequal size', () => {
    matches(blockedRankTest(columnsOf(uneven, 'ABCD')), R.elteren_uneven);
    matches(blockedRankTest(columnsOf(uneven, 'AC')), R.elteren_uneven_two);
  });

  it('without blocks it is Kruskal and Wallis, also with plants missing', () => {
    const { values, group, groups } = columnsOf(uneven, 'ABCD');
    matches(blockedRankTest({ values, group, groups }), R.kruskal_uneven_no_blocks);
    const plants = `4.17 5.58 5.18 6.11 4.50 4.61 5.17 4.53 5.33 5.14; 4.81 4.17 4.41 3.59 5.87 3.83
      6.03 4.89 4.32 4.69; 6.31 5.12 5.54 5.50 5.37 5.29 4.92 6.15 5.80 5.26`
      .split(';')
      .map((row) => row.trim().split(/\s+/).map(Number));
    // Dobson 1983: H 7.9882, p .01842.
    const got = blockedRankTest({
      values: plants.flat(),
      group: plants.flatMap((row, g) => row.map(() => g)),
      groups: 3,
    });
    expect(got.known && Math.abs(got.statistic - 7.9882)).toBeLessThan(5e-5);
    const plain = kruskalWallis(plants);
    expect(got.known && plain.known && got.statistic).toBeCloseTo(
      plain.known ? plain.statistic : NaN,
      10,
    );
  });

  it('each treatment once in a block it is Friedman, ties included', () => {
    const plots = plotMeans();
    matches(blockedRankTest(plots), R.friedman_plots);
    // Hollander & Wolfe 1973 p. 140: 11.1429, p .003805.
    const times = `5.40 5.50 5.55; 5.85 5.70 5.75; 5.20 5.60 5.50; 5.55 5.50 5.40; 5.90 5.85 5.70;
      5.45 5.55 5.60; 5.40 5.40 5.35; 5.45 5.50 5.35; 5.25 5.15 5.00; 5.85 5.80 5.70; 5.25 5.20 5.10;
      5.65 5.55 5.45; 5.60 5.35 5.45; 5.05 5.00 4.95; 5.50 5.50 5.40; 5.45 5.55 5.50; 5.55 5.55 5.35;
      5.45 5.50 5.55; 5.50 5.45 5.25; 5.65 5.60 5.40; 5.70 5.65 5.55; 6.30 6.30 6.25`
      .split(';')
      .map((row) => row.trim().split(/\s+/).map(Number));
    const got = blockedRankTest({
      values: times.flat(),
      group: times.flatMap((row) => row.map((_, g) => g)),
      groups: 3,
      block: times.flatMap((row, b) => row.map(() => b)),
    });
    expect(got.known && Math.abs(got.statistic - 11.1429)).toBeLessThan(5e-5);
    expect(got.known && Math.abs(got.p - 0.003805)).toBeLessThan(5e-7);
    const plain = friedman(times);
    expect(got.known && got.statistic).toBeCloseTo(plain.known ? plain.statistic : NaN, 10);
  });

  it('says when there is nothing to compare', () => {
    const one = { group: [0, 1], groups: 2 };
    expect(blockedRankTest({ ...one, values: [3, 3] })).toMatchObject({ why: 'all-tied' });
    expect(blockedRankTest({ ...one, values: [1, 2], block: [0, 1] })).toMatchObject({
      why: 'all-tied',
    });
    expect(blockedRankTest({ values: [1, 2, 3], group: [0, 0, 0], groups: 2 })).toMatchObject({
      why: 'too-few',
    });
    expect(() => blockedRankTest({ values: [1], group: [2], groups: 2 })).toThrow('0 to 1; got 2');
  });
});

describe('the exact forms, by the layouts that could have been drawn', () => {
  it("Friedman's, against 200,000 draws of coin", () => {
    const { values, group, block } = plotMeans();
    const test = exactTest({
      y: blockedRankScores(values, block),
      labels: Uint8Array.from(group),
      layouts: strata(block),
      treatments: 4,
      seed: 1,
    });
    if (test.kind === 'refused') throw new Error(test.reason);
    expect(test.enumerated).toBe(true);
    expect(Math.abs(test.p - R.friedman_plots_sampled.p)).toBeLessThan(tol.sampled);
  });

  it("van Elteren's with several plots a block and ties, against coin's exact p", () => {
    const block = R.pairs_y.map((_, i) => Math.floor(i / 4));
    const group = R.pairs_y.map((_, i) => Math.floor(i / 2) % 2);
    matches(blockedRankTest({ values: R.pairs_y, group, groups: 2, block }), R.pairs);
    const test = exactTest({
      y: blockedRankScores(R.pairs_y, block),
      labels: Uint8Array.from(group),
      layouts: strata(block),
      treatments: 2,
      control: 0,
      seed: 1,
    });
    if (test.kind === 'refused') throw new Error(test.reason);
    expect(test.p).toBeCloseTo(R.pairs_exact.p, 12);
    expect(Math.abs(test.p - R.pairs_sampled.p)).toBeLessThan(tol.sampled);
    expect(test.versusControl?.[0].pStepDown).toBeCloseTo(R.pairs_exact.p, 12);
  });
});

const trial = fc.record({
  blocks: fc.integer({ min: 2, max: 4 }),
  seed: fc.integer({ min: 1, max: 1e6 }),
  levels: fc.integer({ min: 2, max: 9 }),
});

/** Grades of `plots` plots in blocks of three treatments twice each, with ties. */
function made({ blocks, seed, levels }: { blocks: number; seed: number; levels: number }) {
  const random = createRandom(seed);
  const n = 6 * blocks;
  return {
    values: Array.from({ length: n }, () => Math.floor(random.next() * 2 ** -32 * levels)),
    group: Array.from({ length: n }, (_, i) => i % 3),
    groups: 3,
    block: Array.from({ length: n }, (_, i) => Math.floor(i / 6)),
  };
}

describe('what must not matter', () => {
  it('a rising scale of the grades, the order of blocks, the names of treatments', () => {
    fc.assert(
      fc.property(trial, (setting) => {
        const input = made(setting);
        const here = blockedRankTest(input);
        const rising = blockedRankTest({
          ...input,
          values: input.values.map((v, i) => Math.exp(v) + 100 * input.block[i]),
        });
        expect([...rising.scores]).toEqual([...here.scores]);
        const turned = (of: readonly number[]) => of.toReversed();
        const backwards = blockedRankTest({
          values: turned(input.values),
          group: turned(input.group).map((g) => 2 - g),
          groups: 3,
          block: turned(input.block),
        });
        expect(backwards.known).toBe(here.known);
        if (here.known && backwards.known) {
          expect(backwards.statistic).toBeCloseTo(here.statistic, 9);
        }
      }),
    );
  });

  it('the exact p is near uniform where nothing works: at most its own level, and not far below', () => {
    // 600 trials of three treatments in four blocks; 216 families of layouts.
    const random = createRandom(20261125);
    const p = Array.from({ length: 600 }, () => {
      const values = Array.from({ length: 12 }, () => Math.floor(random.next() * 2 ** -32 * 30));
      const block = values.map((_, i) => Math.floor(i / 3));
      const test = exactTest({
        y: blockedRankScores(values, block),
        labels: Uint8Array.from(values, (_, i) => i % 3),
        layouts: strata(block),
        treatments: 3,
        seed: 1,
      });
      return test.kind === 'tested' ? test.p : 1;
    });
    for (const level of [0.05, 0.1, 0.2, 0.5]) {
      const share = p.filter((one) => one <= level).length / p.length;
      const se = Math.sqrt((level * (1 - level)) / p.length);
      // A seeded run: 3.5 standard errors of a level that p can't exceed.
      expect(share).toBeLessThan(level + 3.5 * se);
      expect(share).toBeGreaterThan(0.4 * level);
    }
  });
});
