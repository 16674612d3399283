import { describe, expect, it } from 'vitest';
import { numbersOf, readAnswers, readTable } from '../../oracle/read';
import { blocksOf, cycle, layoutsOf, strataFactor } from '../../oracle/slow-layouts';
import { createRandom } from '../random';
import { fitBlocks, layoutScorer } from './adjusted-fit';
import { type ExactTest, type ExactTestOptions, exactTest } from './exact-test';
import type { LayoutSet } from './layout-set';
import { totalsScorer } from './totals-fit';

const tol = {
  closedForm: 1e-10,
  /** Monte Carlo: four standard errors. */
  sampled: (p: number, draws: number) => 4 * Math.sqrt((p * (1 - p)) / draws) + 1 / draws,
};

const tested = (options: ExactTestOptions): ExactTest => {
  const result = exactTest(options);
  if (result.kind !== 'tested') throw new Error(`refused: ${result.reason}`);
  return result;
};

const rcbd = (name: string, treatments: number, blocks: number): ExactTestOptions => ({
  y: Float64Array.from(numbersOf(readTable(name), 'y')),
  labels: cycle(treatments, blocks),
  layouts: blocksOf(treatments, blocks),
  treatments,
  control: 0,
  seed: 20261125,
});

describe('lost plots', () => {
  it('scores by the full fit what totals score when nothing is lost', () => {
    const { y, labels } = rcbd('rcbd_4x4', 4, 4);
    const fit = fitBlocks(y, [strataFactor(blocksOf(4, 4), 16)]);
    const byFit = layoutScorer(fit, 4);
    const byTotals = totalsScorer(labels, 4);
    const random = createRandom(6);
    const layout = labels.slice();
    for (let draw = 0; draw < 200; draw++) {
      for (let s = 0; s < 16; s += 4) random.shuffle(layout.subarray(s, s + 4));
      const totals = new Float64Array(4);
      layout.forEach((l, p) => (totals[l] += fit.residual[p]));
      const [one, two] = [byFit(layout), byTotals(totals)];
      expect(Math.abs(one.extreme - two.extreme)).toBeLessThan(tol.closedForm * fit.ss);
      expect(Math.abs(one.top - two.top)).toBeLessThan(tol.closedForm * Math.sqrt(fit.ss));
      one.z.forEach((z, cell) => expect(z).toBeCloseTo(two.z[cell], 9));
    }
  });

  it('gives the same answer for strata and for the list of all their layouts', () => {
    const options = rcbd('rcbd_4x4', 4, 4);
    const small = {
      ...options,
      y: options.y.slice(0, 12),
      labels: cycle(4, 3),
      layouts: blocksOf(4, 3),
    };
    const all = layoutsOf(small.layouts, small.labels);
    const list = new Uint8Array(all.length * 12);
    all.forEach((layout, i) => list.set(layout, i * 12));
    const blocks = [strataFactor(small.layouts, 12)];
    const byTotals = tested(small);
    const byList = tested({
      ...small,
      blocks,
      layouts: { kind: 'list', labels: list, count: all.length },
    });
    expect(byList.p).toBeCloseTo(byTotals.p, 12);
    expect(byList.smallestP).toBeCloseTo(byTotals.smallestP, 15);
    expect(byList.observed).toBeCloseTo(byTotals.observed, 10);
    byTotals.versusControl?.forEach((c, i) => {
      expect(byList.versusControl?.[i].p).toBeCloseTo(c.p, 12);
      expect(byList.versusControl?.[i].pStepDown).toBeCloseTo(c.pStepDown, 12);
    });
    expect(byList.allPairs.map((r) => r.p)).toEqual(byTotals.allPairs.map((r) => r.p));
  });

  it('adjusts F for blocks as R does (a_rcbd_4x4_missing, anova of lm(y ~ block + trt))', () => {
    const rows = readTable('rcbd_4x4_missing');
    const options = rcbd('rcbd_4x4', 4, 4);
    const full = readTable('rcbd_4x4');
    const kept = new Map(rows.map((r) => [`${r.block}${r.trt}`, Number(r.y)]));
    const y = Float64Array.from(full, (r) => kept.get(`${r.block}${r.trt}`) ?? NaN);
    const result = tested({ ...options, y });
    const answers = readAnswers('a_rcbd_4x4_missing') as { trt_adjusted_F: { F: number } };
    expect(result.observed).toBeCloseTo(answers.trt_adjusted_F.F, 9);
    expect(result.enumerated).toBe(true);
    expect(result.p).toBeGreaterThanOrEqual(result.smallestP);
  });

  it('samples towards the enumerated answer', () => {
    const options = rcbd('rcbd_4x4', 4, 4);
    const y = options.y.map((v, p) => (p === 6 ? NaN : v));
    const whole = tested({ ...options, y });
    const draws = 20_000;
    const some = tested({ ...options, y, maxLayouts: 10, draws });
    expect(some.enumerated).toBe(false);
    expect(Math.abs(some.p - whole.p)).toBeLessThan(tol.sampled(whole.p, draws));
    whole.versusControl?.forEach((c, i) => {
      const found = some.versusControl?.[i];
      expect(Math.abs((found?.p ?? 0) - c.p)).toBeLessThan(tol.sampled(c.p, draws));
      expect(Math.abs((found?.pStepDown ?? 0) - c.pStepDown)).toBeLessThan(
        tol.sampled(c.pStepDown, draws),
      );
    });
  });
});

describe('sampling complete trials', () => {
  it('agrees with enumeration by tables, by shuffles and from a list', () => {
    const options = rcbd('rcbd_4x4', 4, 4);
    const whole = tested(options);
    const draws = 100_000;
    const random = createRandom(8);
    const roads: LayoutSet[] = [
      options.layouts,
      {
        kind: 'draw',
        draw: (chance, out) => {
          for (let s = 0; s < 4; s++) {
            const block = out.slice(4 * s, 4 * s + 4);
            chance.shuffle(block);
            out.set(block, 4 * s);
          }
        },
      },
    ];
    const blocks = [strataFactor(options.layouts, 16)];
    for (const layouts of roads) {
      const seed = random.next();
      const some = tested({ ...options, layouts, blocks, maxLayouts: 10, draws, seed });
      expect(Math.abs(some.p - whole.p)).toBeLessThan(tol.sampled(whole.p, draws));
      whole.versusControl?.forEach((c, i) => {
        const found = some.versusControl?.[i].pStepDown ?? 0;
        expect(Math.abs(found - c.pStepDown)).toBeLessThan(tol.sampled(c.pStepDown, draws));
      });
    }
  });

  it('is as sure of the comparisons as 100,000 plain draws, by renaming the treatments', () => {
    // Two plots of the control a block: only the others may be renamed there.
    const double: ExactTestOptions = {
      ...rcbd('rcbd_4x4', 4, 4),
      labels: Uint8Array.from({ length: 16 }, (_, p) => [0, 0, 1, 2][p % 4]),
      treatments: 3,
    };
    for (const options of [rcbd('rcbd_4x4', 4, 4), double]) {
      const whole = tested(options);
      const seeds = Array.from({ length: 25 }, (_, seed) => seed + 1);
      const runs = seeds.map((seed) => tested({ ...options, seed, maxLayouts: 10 }));
      whole.versusControl?.forEach(({ p, pStepDown }, i) => {
        const off = (of: (run: ExactTest) => number, from: number): number =>
          Math.sqrt(runs.reduce((sum, run) => sum + (of(run) - from) ** 2, 0) / runs.length);
        // Root mean square over 25 runs: within 1.4 of its expectation but once in a thousand.
        const most = (q: number): number => 1.4 * Math.sqrt((q * (1 - q)) / 100_000);
        const at = (run: ExactTest) => run.versusControl?.[i];
        expect(off((run) => at(run)?.p ?? NaN, p)).toBeLessThan(most(p));
        expect(off((run) => at(run)?.pStepDown ?? NaN, pStepDown)).toBeLessThan(most(pStepDown));
      });
    }
  });

  it('is the same for the same seed and reports every part of its work', () => {
    const shares: number[] = [];
    const options = { ...rcbd('rcbd_6x5', 6, 5), draws: 400_000 };
    const first = tested({ ...options, progress: (share) => shares.push(share) });
    expect(tested(options)).toEqual(first);
    expect(shares.length).toBeGreaterThan(10);
    expect(shares.at(-1)).toBe(1);
  });
});

describe('properties', () => {
  it('does not change when treatments are renamed or values shifted and scaled', () => {
    const options = rcbd('rcbd_4x4', 4, 4);
    const before = tested(options);
    const renamed = tested({
      ...options,
      labels: options.labels.map((l) => (l + 1) % 4),
      control: 1,
    });
    const scaled = tested({ ...options, y: options.y.map((v) => 1e6 - 3 * v) });
    for (const after of [renamed, scaled]) {
      expect(after.p).toBe(before.p);
      const steps = (t: ExactTest) =>
        t.versusControl?.map((c) => c.pStepDown).sort((a, b) => a - b);
      steps(after)?.forEach((p, i) => expect(p).toBeCloseTo(steps(before)?.[i] ?? 0, 12));
    }
  });

  it('refuses where there is nothing to test', () => {
    const set = { labels: cycle(2, 3), layouts: blocksOf(2, 3), treatments: 2, seed: 1 };
    const alike = Float64Array.from([0.1, 0.1, 0.3, 0.3, 0.7, 0.7]);
    expect(exactTest({ y: alike, ...set })).toEqual({ kind: 'refused', reason: 'no-spread' });
    const one = { labels: cycle(2, 1), layouts: blocksOf(2, 1), treatments: 2, seed: 1 };
    expect(exactTest({ y: Float64Array.of(1, 2), ...one })).toEqual({
      kind: 'refused',
      reason: 'no-error-df',
    });
    const fixed: LayoutSet = { kind: 'strata', strata: [[0], [1], [2], [3], [4], [5]] };
    const y = Float64Array.of(1, 2, 3, 4, 5, 7);
    expect(exactTest({ y, ...set, blocks: [], layouts: fixed })).toEqual({
      kind: 'refused',
      reason: 'one-layout',
    });
    expect(() => exactTest({ y, ...set, treatments: 3 })).toThrow(/number 2 has none/);
  });
});
