import { smallestShare } from '@fairbed/stats';
import { describe, expect, it } from 'vitest';
import { drawLayout } from './draw';
import { layoutFacts } from './facts';
import { outline } from './outline';
import type { LayoutRequest } from './request';

const names = (n: number): string[] => Array.from({ length: n }, (_, i) => `T${i + 1}`);
const factsOf = (request: LayoutRequest) => {
  const facts = layoutFacts(request);
  if (!facts.ok) throw new Error(facts.problem.what);
  return facts;
};
const f = (n: bigint): bigint => (n < 2n ? 1n : n * f(n - 1n));
const groups = (practices: number, within: number) =>
  Array.from({ length: practices }, (_, p) => ({
    id: `P${p}`,
    treatments: Array.from({ length: within }, (__, w) => `T${p * within + w + 1}`),
  }));
const blocksOf = (t: number, blocks: number): LayoutRequest => ({
  kind: 'randomised-blocks',
  treatments: names(t),
  blocks,
});
const square = (t: number): LayoutRequest => ({
  kind: 'latin-square',
  treatments: names(t),
  blocks: t,
});
const split = (practices: number, within: number, blocks: number): LayoutRequest => ({
  kind: 'split-plot',
  treatments: names(practices * within),
  blocks,
  wholePlots: groups(practices, within),
});

describe('layouts', () => {
  it.each([
    [
      '3 groups of 4: 12! / 4!^3',
      { kind: 'completely-randomised', treatments: names(3), blocks: 4 },
      34_650n,
    ],
    ['4 treatments in 4 blocks: 4!^4', blocksOf(4, 4), 331_776n],
    ['12 treatments in 8 blocks: 12!^8', blocksOf(12, 8), f(12n) ** 8n],
    [
      'a control 4 times in blocks of 8: (8! / 4!)^3',
      {
        kind: 'randomised-blocks',
        treatments: names(5),
        control: 'T1',
        controlPlots: 4,
        blocks: 3,
      },
      (f(8n) / f(4n)) ** 3n,
    ],
    ['2 practices x 3 in 4 blocks: (2! 3!^2)^4', split(2, 3, 4), 72n ** 4n],
    [
      '7 treatments in 7 blocks of 3: 3!^7',
      { kind: 'incomplete-blocks', treatments: names(7), blocks: 7, perBlock: 3 },
      6n ** 7n,
    ],
  ] as const)('%s', (_name, request, count) => {
    const facts = factsOf(request);
    expect(facts.layouts).toBe(count);
    expect(facts.exactCount).toBe(true);
  });

  it('of a square above order 8 are at most as many as said', () => {
    const facts = factsOf(square(9));
    expect(facts.exactCount).toBe(false);
    expect(facts.layouts).toBe(f(9n) ** 3n);
    expect(facts.smallestP).toBeNull();
    expect(facts.notes.map(({ code }) => code)).toEqual(['layouts-at-most']);
  });
});

describe('smallest p-value', () => {
  it.each([
    ['2 treatments in 4 blocks: 2! / 2!^4', blocksOf(2, 4), 0.125],
    ['2 treatments in 6 blocks', blocksOf(2, 6), 2 / 64],
    ['3 treatments in 3 blocks: 3! / 3!^3', blocksOf(3, 3), 1 / 36],
    ['a Latin square of order 3: 3! / 12', square(3), 0.5],
    ['a Latin square of order 4: 4! / 576', square(4), 1 / 24],
    ['one block: no test', blocksOf(3, 1), 1],
  ])('%s', (_name, request, p) => {
    expect(factsOf(request).smallestP).toBeCloseTo(p, 12);
  });

  it.each([3, 4])('of all squares of order %i is that of walking them', (order) => {
    const plan = outline(square(order));
    if ('code' in plan) throw new Error(plan.what);
    const { set, labels } = plan.layouts;
    expect(factsOf(square(order)).smallestP).toBe(smallestShare(set, labels, order));
  });

  it('of a split plot is the share of its layouts that only renaming tells apart', () => {
    const words = new Set<string>();
    for (let seed = 0; seed < 3000; seed++) {
      const drawn = drawLayout(split(2, 2, 2), seed);
      if (drawn.ok) words.add(drawn.plots.map(({ treatment }) => treatment).join(' '));
    }
    expect(words.size).toBe(64);
    const nameless = new Map<string, number>();
    for (const word of words) {
      const plots = word.split(' ');
      const known = [...new Set(plots)];
      const key = plots.map((treatment) => known.indexOf(treatment)).join(' ');
      nameless.set(key, (nameless.get(key) ?? 0) + 1);
    }
    expect(factsOf(split(2, 2, 2)).smallestP).toBe(Math.min(...nameless.values()) / 64);
  });

  it('of practices on whole plots is their own', () => {
    expect(factsOf(split(2, 2, 4)).practice).toEqual({ smallestP: 0.125, errorDf: 3 });
  });
});

/*
 * Cochran & Cox (1957), Experimental Designs: completely randomised N - t; blocks (b-1)(t-1); Latin
 * squares (t-1)(t-2); split plots (b-1)(a-1) and a(b-1)(s-1); incomplete blocks tr - t - b + 1
 * (chapters 4, 7 and 11, from memory). Yates's oats (1935; `oats` of R's MASS): 6 blocks, 3 varieties,
 * 4 manures: R's aov gives 10 and 45.
 */
describe('error degrees of freedom', () => {
  it.each([
    [
      'completely randomised, 4 x 5',
      { kind: 'completely-randomised', treatments: names(4), blocks: 5 },
      16,
    ],
    [
      'completely randomised, 3, 4 and 5 plots',
      { kind: 'completely-randomised', treatments: names(3), blocks: 0, replicates: [3, 4, 5] },
      9,
    ],
    ['4 treatments in 5 blocks', blocksOf(4, 5), 12],
    [
      'a control twice in each of 5 blocks of 5',
      { ...blocksOf(4, 5), control: 'T1', controlPlots: 2 },
      17,
    ],
    ['a Latin square of order 4', square(4), 6],
    ['a Latin square of order 5', square(5), 12],
    ['a Latin square of order 6', square(6), 20],
    ['the oats, within whole plots', split(3, 4, 6), 45],
    [
      '7 treatments in 7 blocks of 3',
      { kind: 'incomplete-blocks', treatments: names(7), blocks: 7, perBlock: 3 },
      8,
    ],
    [
      '9 treatments in 18 blocks of 4',
      { kind: 'incomplete-blocks', treatments: names(9), blocks: 18, perBlock: 4 },
      46,
    ],
  ] as const)('%s: %#', (_name, request, df) => {
    expect(factsOf(request as LayoutRequest).errorDf).toBe(df);
  });

  it('of the practices of the oats', () => {
    expect(factsOf(split(3, 4, 6)).practice?.errorDf).toBe(10);
  });
});

describe('notes', () => {
  const said = (request: LayoutRequest) =>
    factsOf(request).notes.map((note) => `${note.what} ${note.do}`.trim());

  it('a layout that can never show anything says so, and what to add', () => {
    expect(said(blocksOf(2, 4))).toEqual([
      'This layout can never give a p-value below 0.125, however large the difference, so it can never show one at 0.05. Add 2 blocks: with 6 it can reach 0.0313.',
    ]);
    expect(said({ kind: 'completely-randomised', treatments: names(2), blocks: 3 })[0]).toContain(
      'below 0.1, however large the difference, so it can never show one at 0.05. Add a plot of each treatment: with 4 it can reach 0.0286.',
    );
    expect(said(square(3))[0]).toContain('Take randomised blocks');
    expect(said(split(2, 2, 4))[0]).toContain('below 0.125 for the practices on whole plots');
  });

  it('one plot of each has no error to judge by', () => {
    expect(said(blocksOf(4, 1))[0]).toContain(
      'no test can be made. Give every treatment at least two plots.',
    );
    expect(said(square(2))[0]).toContain('no test can be made. Take randomised blocks');
  });

  it('four treatments in four blocks have nothing to be told', () => {
    expect(said(blocksOf(4, 4))).toEqual([]);
  });

  it('blocks that can’t hold all say how evenly treatments meet', () => {
    const seven: LayoutRequest = {
      kind: 'incomplete-blocks',
      treatments: names(7),
      blocks: 7,
      perBlock: 3,
    };
    expect(said(seven)).toEqual([
      'Any two treatments share 1 block: all are compared equally well.',
    ]);
    expect(said({ ...seven, blocks: 8 })).toEqual([
      'Any two treatments share 1 to 2 blocks, so some are compared better than others. Only 7 blocks, or a multiple of 7, can make it even.',
      '3 of 7 treatments get 4 plots, the others 3; the lot decides which.',
    ]);
    expect(factsOf({ ...seven, blocks: 8 }).shared).toEqual({ least: 1, most: 2 });
  });
});

it('a request that can’t be drawn has no facts', () => {
  const facts = layoutFacts({ ...square(4), blocks: 3 });
  expect(facts.ok ? '' : facts.problem.code).toBe('square-not-square');
});
