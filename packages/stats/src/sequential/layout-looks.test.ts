import { describe, expect, it } from 'vitest';
import { exactTest } from '../exact/exact-test';
import type { LayoutSet } from '../exact/layout-set';
import { createRandom } from '../random';
import { layoutLooks, type LayoutLooksRequest } from './layout-looks';
import { blocksOf, even, looksOf, plainStatistic, rounds, spentBy } from './looks.cases';

describe('one look', () => {
  it('is the step-down test of the layout', () => {
    for (const k of [3, 4, 5]) {
      const { labels, strata } = blocksOf(k, 3);
      const layouts: LayoutSet = { kind: 'strata', strata };
      const [y] = rounds(createRandom(k), labels.length, 1);
      labels.forEach((l, p) => (y[p] += l === 1 ? 2 : 0));
      const shared = { labels, layouts, treatments: k, control: 0, seed: 1 };
      const fixed = exactTest({ ...shared, y });
      const { looks } = layoutLooks({ ...shared, looks: [{ y, spent: 0.05 }], most: 1e6 });
      if (fixed.kind === 'refused') throw new Error(fixed.reason);
      for (const { treatment, p } of looks[0].versusControl) {
        const same = fixed.versusControl!.find((one) => one.treatment === treatment)!;
        expect(p).toBeCloseTo(same.pStepDown, 10);
      }
    }
  });

  it('gives plot values their own unit', () => {
    const { labels, strata } = blocksOf(3, 3);
    const [y] = rounds(createRandom(3), 9, 1);
    const shared = {
      labels,
      layouts: { kind: 'strata', strata } as const,
      treatments: 3,
      control: 0,
    };
    const { looks } = layoutLooks({ ...shared, seed: 1, looks: [{ y, spent: 0.3 }] });
    expect(looks[0].statistic).toBeCloseTo(plainStatistic(y, labels, 3), 10);
    expect(looks[0].bound! > 0).toBe(true);
  });
});

describe('looks that follow', () => {
  const { labels, strata } = blocksOf(4, 4);
  const layouts: LayoutSet = { kind: 'strata', strata };
  const y = rounds(createRandom(11), 16, 5);
  y.forEach((values, k) => labels.forEach((l, p) => (values[p] -= l === 2 ? 2 * k : 0)));
  const spent = spentBy(even, 5, 0.05);
  const base = { labels, layouts, treatments: 4, control: 0, seed: 3 };
  const at = (request: Partial<LayoutLooksRequest> = {}) =>
    layoutLooks({ ...base, looks: looksOf(y, spent), most: 100, draws: 600, ...request }).looks;

  it('move no bound of a look before, sampled or whole', () => {
    for (const most of [100, 60_000]) {
      const whole = at({ most });
      expect(at({ most, looks: looksOf(y, spent).slice(0, 2) })).toEqual(whole.slice(0, 2));
    }
  });

  it('stop just when the statistic first reaches its bound', () => {
    const first = at().findIndex(({ stop }) => stop);
    expect(first).toBeGreaterThan(0);
    at().forEach(({ statistic, bound, stop, p, pAlone, spent: may, called }, k) => {
      if (k <= first) expect(stop).toBe(bound !== undefined && statistic! >= bound * (1 - 1e-9));
      else expect(stop).toBe(true);
      expect(called).toBeLessThanOrEqual(may);
      if (k < first) expect(p).toBeGreaterThanOrEqual(pAlone!);
    });
  });

  it('a look without values spends nothing and leaves it to the next', () => {
    const some = at({ looks: [{ spent: spent[0] }, ...looksOf(y, spent).slice(1)] });
    expect(some[0]).toMatchObject({ statistic: undefined, bound: undefined, called: 0, p: 1 });
    expect(some[1].called).toBeGreaterThan(0);
    expect(some[1].called).toBeLessThanOrEqual(spent[1]);
  });

  it('do not notice scale, level, blocks that differ, or the names of the treatments', () => {
    const plain = at({ most: 60_000 });
    const moved = y.map((values) => values.map((v, p) => 50 + 7 * v + 10 * Math.floor(p / 4)));
    const scaled = at({ most: 60_000, looks: looksOf(moved, spent) });
    const names = [0, 3, 1, 2];
    const renamed = at({ most: 60_000, labels: labels.map((l) => names[l]) });
    plain.forEach((look, k) => {
      expect(scaled[k].p).toBe(look.p);
      expect(scaled[k].statistic! / 7).toBeCloseTo(look.statistic!, 9);
      expect(renamed[k].p).toBe(look.p);
      for (const { treatment, p } of look.versusControl) {
        const same = renamed[k].versusControl.find((one) => one.treatment === names[treatment])!;
        expect(same.p).toBe(p);
        expect(scaled[k].versusControl.find((one) => one.treatment === treatment)!.p).toBe(p);
      }
    });
  });

  it('a sample agrees with the whole within its error', () => {
    const whole = at({ most: 60_000 });
    const sample = at({ most: 100, draws: 9_999 });
    const fourErrors = 4 * Math.sqrt(0.25 / 9_999);
    whole.forEach(({ p, called }, k) => {
      expect(Math.abs(sample[k].p - p)).toBeLessThan(fourErrors);
      expect(Math.abs(sample[k].called - called)).toBeLessThan(fourErrors);
    });
  });

  it('walk a plot that is lost on the way', () => {
    const lost = y.map((values, k) => values.map((v, p) => (k >= 3 && p === 6 ? NaN : v)));
    const looks = at({ most: 60_000, looks: looksOf(lost, spent) });
    expect(looks.slice(0, 3)).toEqual(at({ most: 60_000 }).slice(0, 3));
    expect(looks[4].called).toBeGreaterThan(0.04);
    expect(looks[4].called).toBeLessThanOrEqual(0.05);
  });

  it('values all alike call nothing', () => {
    const flat = [new Float64Array(16).fill(3), new Float64Array(16).fill(3)];
    for (const look of at({ looks: looksOf(flat, [0.5, 0.9]) })) {
      expect(look).toMatchObject({ stop: false, p: 1, called: 0, bound: undefined });
    }
  });

  it('more than five treatments beside the control are held against the bounds of all', () => {
    const many = blocksOf(7, 3);
    const [values] = rounds(createRandom(5), 21, 1);
    many.labels.forEach((l, p) => (values[p] += l === 4 ? 6 : 0));
    const strata: LayoutSet = { kind: 'strata', strata: many.strata };
    const request = { labels: many.labels, layouts: strata, treatments: 7, control: 0, seed: 1 };
    const [look] = layoutLooks({ ...request, looks: [{ y: values, spent: 0.05 }] }).looks;
    const of = (t: number) => look.versusControl.find(({ treatment }) => treatment === t)!;
    expect(look.stop).toBe(true);
    expect(of(4).p).toBe(look.p);
    expect(of(4).called).toBe(true);
    expect(look.versusControl.every(({ p }) => p >= look.p)).toBe(true);
  });

  it('names what is wrong', () => {
    expect(() => at({ looks: looksOf(y, [0.02, 0.01]) })).toThrow(
      'spent must rise from 0 to at most 1; got 0.01 after 0.02',
    );
    const list: LayoutSet = { kind: 'list', labels: labels.toReversed(), count: 1 };
    expect(() => at({ layouts: list, most: 5 })).toThrow('labels must be one of the layouts');
  });
});
