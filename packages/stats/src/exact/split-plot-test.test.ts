import { describe, expect, it } from 'vitest';
import { reachable, slowF, slowShare, withinEach } from '../../oracle/slow-layouts';
import { readTable } from '../../oracle/read';
import { createRandom } from '../random';
import type { WholePlots } from './layout-set';
import { exactTest } from './exact-test';
import { splitPlotTest, type SplitPlotRequest, type StratumTest } from './split-plot-test';

/** Blocks of whole plots of `size` plots, one after the other. */
const wholePlots = (blocks: number, practices: number, size: number): WholePlots =>
  Array.from({ length: blocks }, (_, b) =>
    Array.from({ length: practices }, (_, w) =>
      Array.from({ length: size }, (_, i) => (b * practices + w) * size + i),
    ),
  );

const split = (blocks: number, practices: number, size: number) => {
  const n = blocks * practices * size;
  const practice = Array.from({ length: n }, (_, p) => Math.floor(p / size) % practices);
  const within = Array.from({ length: n }, (_, p) => (p + Math.floor(p / size)) % size);
  const treatment = practice.map((a, p) => a * size + within[p]);
  return { wholePlots: wholePlots(blocks, practices, size), practice, within, treatment };
};

const pOf = (test: StratumTest): number => {
  if (test.kind !== 'tested') throw new Error(test.reason);
  return test.p;
};

const wholes = (set: WholePlots): [number[], number[]][] =>
  set.flatMap((group) =>
    group.flatMap((w, i) => group.slice(i + 1).map((v): [number[], number[]] => [[...w], [...v]])),
  );

/** Least-squares F of a term, the others given: residual sums of squares of two dummy designs. */
const interactionF = (y: Float64Array, s: ReturnType<typeof split>, practice: number[]): number => {
  const unit = s.wholePlots.flat();
  const whole = y.map((_, p) => unit.findIndex((places) => places.includes(p)));
  const cell = Uint8Array.from(practice, (a, p) => a * 10 + s.within[p]);
  const names = [...new Set(cell)];
  const codes = cell.map((c) => names.indexOf(c));
  return slowF(y, codes, names.length, [whole, s.within]);
};

describe('the three questions of a split plot', () => {
  for (const [blocks, practices, size] of [
    [3, 2, 2],
    [2, 3, 2],
    [2, 2, 3],
  ] as const) {
    const s = split(blocks, practices, size);
    const random = createRandom(10 * blocks + size);
    const y = Float64Array.from(
      s.practice,
      (a, p) => a + 2 * s.within[p] * (1 + a) + random.normal(),
    );
    const result = splitPlotTest({ ...s, y, seed: 1 });
    const moved = reachable(Uint8Array.from(s.practice), wholes(s.wholePlots));
    const title = `${practices} practices x ${size} in ${blocks} blocks`;

    it(`relabels whole plots for the practice, by F on their means: ${title}`, () => {
      const means = Float64Array.from(s.wholePlots.flat(), (places) =>
        places.reduce((sum, p) => sum + y[p] / size, 0),
      );
      const block = s.wholePlots.flatMap((group, b) => group.map(() => b));
      const f = moved.map((labels) =>
        slowF(
          means,
          labels.filter((_, p) => p % size === 0),
          practices,
          [block],
        ),
      );
      expect(pOf(result.practice)).toBeCloseTo(slowShare(f, f[0]), 12);
    });

    it(`relabels within whole plots for the treatments: ${title}`, () => {
      const unit = Int32Array.from(s.within, (_, p) => Math.floor(p / size));
      const layouts = reachable(Uint8Array.from(s.within), withinEach(s.wholePlots.flat()));
      const f = layouts.map((labels) => slowF(y, labels, size, [unit]));
      expect(pOf(result.within)).toBeCloseTo(slowShare(f, f[0]), 12);
    });

    it(`relabels whole plots for the interaction, by its F: ${title}`, () => {
      const f = moved.map((labels) => interactionF(y, s, [...labels]));
      expect(pOf(result.interaction)).toBeCloseTo(slowShare(f, f[0]), 12);
    });

    it(`asks each question whatever the answer to the others: ${title}`, () => {
      const more = (add: (p: number) => number) =>
        splitPlotTest({ ...s, y: y.map((v, p) => v + add(p)), seed: 1 });
      const treated = more((p) => [0, 40, -7][s.within[p]]);
      expect(pOf(treated.practice)).toBeCloseTo(pOf(result.practice), 12);
      expect(pOf(treated.interaction)).toBeCloseTo(pOf(result.interaction), 12);
      const practised = more((p) => [0, 90, -30][s.practice[p]]);
      expect(pOf(practised.within)).toBeCloseTo(pOf(result.within), 12);
      expect(pOf(practised.interaction)).toBeCloseTo(pOf(result.interaction), 12);
    });

    it(`is exact: each layout taken as drawn, at most a share alpha has p below alpha: ${title}`, () => {
      // No effects at all here: plots keep their values whatever is written on them.
      const noise = Float64Array.from(s.practice, () => Math.round(4 * random.normal()));
      for (const question of ['practice', 'interaction'] as const) {
        const p = moved.map((labels) =>
          pOf(splitPlotTest({ ...s, practice: labels, y: noise, seed: 1 })[question]),
        );
        for (const alpha of [0.05, 0.125, 0.25, 0.5, 0.75])
          expect(p.filter((x) => x <= alpha + 1e-12).length / p.length).toBeLessThanOrEqual(alpha);
      }
    });
  }

  it('tests treatments within practices where practices have none in common', () => {
    const s = split(2, 2, 2);
    const y = Float64Array.of(5, 1, 9, 4, 2, 6, 3, 8);
    const request: SplitPlotRequest = {
      y,
      wholePlots: s.wholePlots,
      practice: s.practice,
      treatment: s.treatment,
      seed: 1,
    };
    const result = splitPlotTest(request);
    const unit = y.map((_, p) => Math.floor(p / 2));
    const layouts = reachable(Uint8Array.from(s.treatment), withinEach(s.wholePlots.flat()));
    const f = layouts.map((labels) => slowF(y, labels, 4, [unit]));
    expect(pOf(result.within)).toBeCloseTo(slowShare(f, f[0]), 12);
    expect(result.interaction).toEqual({ kind: 'refused', reason: 'not-crossed' });
  });

  it('keeps the place of a lost plot, and stays exact', () => {
    const s = split(3, 2, 2);
    const y = Float64Array.of(5, 1, 9, 4, NaN, 6, 3, 8, 7, 2, 5, 9);
    const moved = reachable(Uint8Array.from(s.practice), wholes(s.wholePlots));
    for (const question of ['practice', 'interaction'] as const) {
      const p = moved.map((practice) =>
        pOf(splitPlotTest({ ...s, practice, y, seed: 1 })[question]),
      );
      for (const alpha of [0.25, 0.5])
        expect(p.filter((x) => x <= alpha + 1e-12).length / p.length).toBeLessThanOrEqual(alpha);
    }
  });

  it('samples towards the enumerated answer', () => {
    const s = split(4, 3, 2);
    const y = Float64Array.from(s.practice, (a, p) => a * s.within[p] + Math.sin(5 * p));
    const whole = splitPlotTest({ ...s, y, seed: 1 });
    const some = splitPlotTest({ ...s, y, seed: 2, maxLayouts: 1, draws: 10_000 });
    for (const question of ['practice', 'within', 'interaction'] as const) {
      const p = pOf(whole[question]);
      // Monte Carlo: four standard errors.
      expect(Math.abs(pOf(some[question]) - p)).toBeLessThan(
        4 * Math.sqrt((p * (1 - p)) / 10_000) + 1e-4,
      );
      expect(some[question]).toMatchObject({ enumerated: false });
    }
  });

  it('finds what Yates found in the oats: nitrogen, neither variety nor interaction', () => {
    // Yates 1935, JRSS Suppl. 2:181; F 1.49 (p 0.27), 37.69 (p < 0.0001) and 0.30 (p 0.93).
    const rows = readTable('oats');
    const names = (column: string) => [...new Set(rows.map((row) => row[column]))];
    const [blocks, varieties, doses] = ['B', 'V', 'N'].map(names);
    const practice = rows.map((row) => varieties.indexOf(row.V));
    const within = rows.map((row) => doses.indexOf(row.N));
    const test = splitPlotTest({
      y: Float64Array.from(rows, (row) => Number(row.Y)),
      wholePlots: blocks.map((block) =>
        varieties.map((variety) =>
          rows.flatMap((row, p) => (row.B === block && row.V === variety ? [p] : [])),
        ),
      ),
      practice,
      within,
      treatment: practice.map((a, p) => 4 * a + within[p]),
      seed: 1,
    });
    expect(Math.abs(pOf(test.practice) - 0.27)).toBeLessThan(0.05);
    expect(pOf(test.within)).toBeLessThan(2e-5);
    expect(Math.abs(pOf(test.interaction) - 0.93)).toBeLessThan(0.05);
  });

  it('names the smallest p of the whole draw, and refuses what has no answer', () => {
    const s = split(3, 2, 2);
    const y = Float64Array.from(s.practice, (_, p) => Math.sin(p * p));
    const whole = exactTest({
      y,
      labels: Uint8Array.from(s.treatment),
      layouts: { kind: 'draw', draw: () => undefined, wholePlots: s.wholePlots },
      treatments: 4,
      control: 0,
      seed: 1,
    });
    // 2 practices and 2 treatments in each may be renamed: 8 of (2! 2!^2)^3 = 512.
    expect(whole).toMatchObject({ total: 512n, enumerated: true, smallestP: 8 / 512 });
    const one = splitPlotTest({ ...s, practice: s.practice.map(() => 0), y, seed: 1 });
    expect(one.practice).toEqual({ kind: 'refused', reason: 'not-crossed' });
    expect(() => splitPlotTest({ ...s, practice: s.within, y, seed: 1 })).toThrow(/one practice/);
    expect(() => splitPlotTest({ ...s, within: [1], y, seed: 1 })).toThrow(/got 1 and 12/);
  });
});
