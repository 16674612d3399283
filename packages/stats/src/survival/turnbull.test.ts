import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numbersOf, readAnswers, readTable } from '../../oracle/read';
import { createRandom } from '../random';
import type { Between } from './cells';
import { curveWithLimits } from './curve-limits';
import { kaplanMeier } from './kaplan-meier';
import { turnbull } from './turnbull';

// R's survfit stops once a step of self-consistency moves nothing by more than 5e-5.
const tol = { closedForm: 1e-12, stopped: 1e-3, limits: 1e-8 };

type Curve = { time: number; surv: number }[];
const R = readAnswers('days') as {
  weekly: Record<string, Curve>;
  overlapping: { left: number[]; right: number[]; curve: Curve };
};

const rows = readTable('survival_3x4x8');
const happened = rows.map(({ status }) => status === '1');
const weekly: Between = {
  left: rows.map((row, i) => Number(happened[i] ? row.left : row.time) || -Infinity),
  right: rows.map((row, i) => (happened[i] ? Number(row.right) : Infinity)),
};
const exact: Between = {
  left: numbersOf(rows, 'time'),
  right: rows.map((row, i) => (happened[i] ? Number(row.time) : Infinity)),
};
const only = ({ left, right }: Between, keep: (i: number) => boolean): Between => ({
  left: Array.from(left).filter((_, i) => keep(i)),
  right: Array.from(right).filter((_, i) => keep(i)),
});

const logLikOf = (
  { left, right }: Between,
  steps: readonly { from: number; to: number; mass: number }[],
) =>
  Array.from(left).reduce((sum, l, i) => {
    const p = steps.reduce(
      (held, { from, to, mass }) => (from >= l && to <= right[i] ? held + mass : held),
      0,
    );
    return sum + Math.log(p);
  }, 0);

describe("Turnbull's curve", () => {
  it.each(['A', 'B', 'C'])('weekly rounds, treatment %s, against survfit (R 4.2.2)', (trt) => {
    const curve = turnbull(only(weekly, (i) => rows[i].trt === trt))!;
    expect(curve.isMaximum && curve.unique).toBe(true);
    for (const { time, surv } of R.weekly[trt]) {
      const step = curve.steps.find(({ from, to }) => from < time && time < to)!;
      expect(Math.abs(step.survival - surv)).toBeLessThan(tol.closedForm);
    }
  });

  it('intervals that overlap, against survfit; no lower likelihood than there', () => {
    const between: Between = {
      left: R.overlapping.left.map((l) => (l === 0 ? -Infinity : l)),
      right: R.overlapping.right.map((r) => (r < 0 ? Infinity : r)),
    };
    const curve = turnbull(between)!;
    expect(curve.excess).toBeLessThan(1e-12);
    expect(curve.unique).toBe(true);
    const theirs = curve.steps.map((step, k) => {
      // R leaves out the first fall, from before the first round.
      const after = k === 0 ? step.survival : R.overlapping.curve[k - 1].surv;
      const before =
        k === 0 ? 1 : k === 1 ? curve.steps[0].survival : R.overlapping.curve[k - 2].surv;
      expect(Math.abs(step.survival - after)).toBeLessThan(tol.stopped);
      return { ...step, mass: before - after };
    });
    expect(curve.logLik).toBeCloseTo(logLikOf(between, curve.steps), 9);
    expect(curve.logLik).toBeGreaterThanOrEqual(logLikOf(between, theirs) - 1e-12);
  });

  it('exact days give the curve of Kaplan and Meier, its standard errors and its median', () => {
    const curve = curveWithLimits(turnbull(exact)!);
    const steps = kaplanMeier({ time: numbersOf(rows, 'time'), happened });
    expect(curve.points.filter(({ to }) => to < Infinity).length).toBe(steps.steps.length);
    steps.steps.forEach((step, k) => {
      const point = curve.points[k];
      expect([point.from, point.to, point.exact]).toEqual([step.time, step.time, true]);
      expect(Math.abs(point.survival - step.survival)).toBeLessThan(tol.closedForm);
      expect(Math.abs(point.se! / step.se! - 1)).toBeLessThan(tol.limits);
    });
    expect(curve.median.from).toBe(steps.median.days);
    expect(curve.median.to).toBe(steps.median.days);
  });

  it('by hand: three values that overlap in pairs put all mass where the pairs meet', () => {
    // (0, 2], (1, 3], (2.5, 4]: innermost (1, 2] and (2.5, 3]; likelihood p1 (p1 + p2) p2.
    const curve = turnbull({ left: [0, 1, 2.5], right: [2, 3, 4] })!;
    expect(curve.steps.map(({ from, to }) => [from, to])).toEqual([
      [1, 2],
      [2.5, 3],
    ]);
    expect(curve.steps[0].mass).toBeCloseTo(0.5, 12);
    expect(curve.logLik).toBeCloseTo(Math.log(0.25), 12);
  });

  it('says where masses can be moved without changing the likelihood', () => {
    // Gentleman & Geyer 1994: only sums of neighbouring masses are seen.
    const curve = turnbull({
      left: [0, 2, 0, 2, 1, 3, 1, 3],
      right: [2, 4, 2, 4, 3, 5, 3, 5],
    })!;
    expect(curve.isMaximum).toBe(true);
    const rank = curve.steps.length;
    expect(curve.unique).toBe(rank < 4);
    expect(curveWithLimits(curve).points.length).toBe(rank);
  });

  it('neighbouring weeks do not overlap; an exact day lies before a week that begins with it', () => {
    const curve = turnbull({ left: [0, 7, 7, 7], right: [7, 14, 7, Infinity] })!;
    expect(curve.steps.map(({ from, to, exact: day }) => [from, to, day])).toEqual([
      [7, 7, true],
      [7, 14, false],
    ]);
    expect(curve.steps[0].mass).toBeCloseTo(0.5, 12);
  });

  it('any intervals: the conditions of a maximum hold and no random masses do better', () => {
    const value = fc.tuple(fc.integer({ min: 0, max: 12 }), fc.integer({ min: 0, max: 6 }));
    fc.assert(
      fc.property(
        fc.array(value, { minLength: 1, maxLength: 25 }),
        fc.integer({ min: 1, max: 1e6 }),
        (values, seed) => {
          const between: Between = {
            left: values.map(([l]) => l),
            right: values.map(([l, length]) => (length === 6 ? Infinity : l + length)),
          };
          const curve = turnbull(between)!;
          expect(curve.isMaximum).toBe(true);
          const random = createRandom(seed);
          const weights = curve.steps.map(({ mass }) => mass * (0.5 + random.next() * 2 ** -32));
          const total = weights.reduce((a, b) => a + b, 0);
          const other = curve.steps.map((step, k) => ({ ...step, mass: weights[k] / total }));
          const within = (masses: readonly { mass: number }[]) => {
            const upTo = [0];
            masses.forEach(({ mass }, k) => upTo.push(upTo[k] + mass));
            return Array.from(curve.within.first).reduce(
              (sum, first, i) => sum + Math.log(upTo[curve.within.last[i] + 1] - upTo[first]),
              0,
            );
          };
          expect(curve.logLik).toBeCloseTo(within(curve.steps), 8);
          expect(curve.logLik).toBeGreaterThanOrEqual(within(other) - 1e-9);
          expect(curve.steps.reduce((sum, { mass }) => sum + mass, 0)).toBeCloseTo(1, 12);
        },
      ),
      { numRuns: 200 },
    );
  });

  it('refuses intervals that end before they begin; nothing from nothing', () => {
    expect(() => turnbull({ left: [7], right: [3] })).toThrow('interval 0');
    expect(() => turnbull({ left: [Infinity], right: [Infinity] })).toThrow('interval 0');
    expect(() => turnbull({ left: [7], right: [] })).toThrow('one length');
    expect(turnbull({ left: [], right: [] })).toBeUndefined();
  });
});

describe('limits and median', () => {
  it('with weekly rounds and plots as clusters, the spread of the plots’ shares', () => {
    // One treatment, four plots of eight: the share without symptoms at a round is a mean of plots.
    const here = rows.flatMap((row, i) => (row.trt === 'A' ? [i] : []));
    const between = only(weekly, (i) => here.includes(i));
    const plots = here.map((i) => Number(rows[i].block.slice(1)));
    const { points, median } = curveWithLimits(turnbull(between)!, plots);
    const at21 = points.find(({ to }) => to === 21)!;
    const shares = [1, 2, 3, 4].map((plot) => {
      const own = here.filter((_, k) => plots[k] === plot);
      return own.filter((i) => weekly.left[i] >= 21).length / own.length;
    });
    const mean = shares.reduce((a, b) => a + b, 0) / 4;
    const spread = Math.sqrt(shares.reduce((s, x) => s + (x - mean) ** 2, 0) / 3 / 4);
    expect(at21.survival).toBeCloseTo(mean, 12);
    expect(at21.se).toBeCloseTo(Math.max(spread, Math.sqrt((mean * (1 - mean)) / 32)), 10);
    // Kaplan and Meier put it on day 35; between two rounds it is the week before.
    expect([median.from, median.to]).toEqual([28, 35]);
    expect(median.low!).toBeLessThan(28);
    expect(median.high ?? Infinity).toBeGreaterThan(35);
  });

  it('a curve that stays above one half has no median; one at one half has a stretch', () => {
    const high = curveWithLimits(turnbull({ left: [0, 7, 7], right: [7, Infinity, Infinity] })!);
    expect(high.median).toMatchObject({ from: undefined, to: undefined });
    const flat = curveWithLimits(turnbull({ left: [0, 0, 7, 14], right: [7, 7, 14, 21] })!);
    expect([flat.median.from, flat.median.to]).toEqual([0, 14]);
  });

  it('plots that agree to the plant still have the spread of their plants', () => {
    // Two plots of two, half of each after the first week.
    const curve = turnbull({ left: [0, 7, 0, 7], right: [7, Infinity, 7, Infinity] })!;
    const { points } = curveWithLimits(curve, [0, 0, 1, 1]);
    expect(points[0].se).toBeCloseTo(Math.sqrt(0.25 / 4), 12);
    const apart = curveWithLimits(curve, [0, 1, 0, 1]);
    // One plot all, the other none: 0 and 1, standard error 1/2.
    expect(apart.points[0].se).toBeCloseTo(0.5, 12);
  });

  it('one plot has no limits of its own', () => {
    const { points } = curveWithLimits(turnbull({ left: [0, 7], right: [7, Infinity] })!, [1, 1]);
    expect(points[0].low).toBeUndefined();
  });
});
