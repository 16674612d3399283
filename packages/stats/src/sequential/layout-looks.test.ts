import { describe, expect, it } from 'vitest';
import { exactTest } from '../exact/exact-test';
import type { LayoutSet } from '../exact/layout-set';
import { createRandom, type Random } from '../random';
import { earliestLook, smallestDifferenceShare } from './earliest-look';
import { layoutLooks, type LayoutLooksRequest, type LookAtPlots } from './layout-looks';
import { pairIntervalsOfLooks } from './pair-looks';
import { alphaSpent, type Spending } from './spending';

const late: Spending = { kind: 'obrien-fleming' };
const early: Spending = { kind: 'pocock' };
const even: Spending = { kind: 'power', exponent: 1 };

const blocksOf = (k: number, b: number) => ({
  labels: Uint8Array.from({ length: k * b }, (_, i) => i % k),
  strata: Array.from({ length: b }, (_, s) => Array.from({ length: k }, (_, i) => s * k + i)),
});

/** Rounds that hang together: each plot walks on from where it was. `round` makes ties. */
function rounds(random: Random, plots: number, looks: number, round = false): Float64Array[] {
  let y = new Float64Array(plots);
  return Array.from({ length: looks }, () => {
    y = y.map((v) => 0.8 * v + random.normal());
    return round ? y.map(Math.round) : y.slice();
  });
}

const spentBy = (spending: Spending, looks: number, alpha: number): number[] =>
  Array.from({ length: looks }, (_, k) => alphaSpent(spending, (k + 1) / looks, alpha));

const looksOf = (y: readonly Float64Array[], spent: readonly number[]): LookAtPlots[] =>
  y.map((values, k) => ({ y: values, spent: spent[k] }));

/** Every order of labels within strata, the slow way. */
function everyLayout(labels: Uint8Array, strata: readonly (readonly number[])[]): Uint8Array[] {
  const orders = (list: readonly number[]): number[][] =>
    list.length === 0
      ? [[]]
      : [...new Set(list)].flatMap((first) => {
          const rest = list.slice();
          rest.splice(rest.indexOf(first), 1);
          return orders(rest).map((order) => [first, ...order]);
        });
  return strata.reduce<Uint8Array[]>(
    (rows, positions) =>
      rows.flatMap((row) =>
        orders(positions.map((p) => labels[p])).map((order) => {
          const out = row.slice();
          positions.forEach((p, i) => (out[p] = order[i]));
          return out;
        }),
      ),
    [labels],
  );
}

/** Largest difference of plain means from treatment 0. */
const plainStatistic = (y: Float64Array, labels: Uint8Array, k: number): number => {
  const sum = new Float64Array(k);
  const size = new Float64Array(k);
  labels.forEach((l, p) => {
    sum[l] += y[p];
    size[l]++;
  });
  return Math.max(...Array.from(sum, (s, l) => Math.abs(s / size[l] - sum[0] / size[0])));
};

/** The layouts called by each look, by sorting all of them: nothing of the fast road is used. */
function slowCalls(
  layouts: readonly Uint8Array[],
  looks: readonly Float64Array[],
  { spent, k }: { readonly spent: readonly number[]; readonly k: number },
): boolean[][] {
  const out = layouts.map(() => false);
  return looks.map((y, at) => {
    const t = layouts.map((row) => Number(plainStatistic(y, row, k).toFixed(9)));
    const left = [...t.keys()].filter((i) => !out[i]).sort((a, b) => t[b] - t[a]);
    const room = Math.floor(spent[at] * layouts.length + 1e-9) - out.filter(Boolean).length;
    for (const value of [...new Set(left.map((i) => t[i]))]) {
      const atLeast = left.filter((i) => t[i] >= value);
      if (atLeast.length <= room) atLeast.forEach((i) => (out[i] = true));
    }
    return out.slice();
  });
}

describe('every layout of a small design taken as drawn', () => {
  const designs = [
    { name: '3 treatments in 3 blocks', k: 3, ...blocksOf(3, 3), looks: 4 },
    { name: '2 treatments in 6 blocks', k: 2, ...blocksOf(2, 6), looks: 5 },
    {
      name: '3 treatments over 7 plots, the control thrice',
      k: 3,
      labels: Uint8Array.of(0, 0, 0, 1, 1, 2, 2),
      strata: [[0, 1, 2, 3, 4, 5, 6]],
      looks: 3,
    },
  ];
  for (const { name, k, labels, strata, looks } of designs)
    for (const [what, spending, alpha] of [
      ['late', late, 0.1],
      ['early', early, 0.2],
      ['even', even, 0.15],
    ] as const)
      for (const ties of [false, true])
        it(`${name}, ${what}${ties ? ', with ties' : ''}: calls no more than is spent, and what a slow enumeration calls`, () => {
          const all = everyLayout(labels, strata);
          const y = rounds(createRandom(k * 100 + looks), labels.length, looks, ties);
          const spent = spentBy(spending, looks, alpha);
          const layouts: LayoutSet = { kind: 'strata', strata };
          const slow = slowCalls(all, y, { spent, k });
          const called = new Array<number>(looks).fill(0);
          const wrong: string[] = [];
          all.forEach((drawn, i) => {
            const request = { labels: drawn, layouts, treatments: k, control: 0, seed: 1 };
            const result = layoutLooks({ ...request, looks: looksOf(y, spent) });
            result.looks.forEach((look, at) => {
              const { stop, p, versusControl } = look;
              if (stop) called[at]++;
              if (!result.enumerated) wrong.push('not every layout was gone through');
              if (stop !== slow[at][i]) wrong.push(`layout ${i}, look ${at}: not as the slow road`);
              if (stop !== p <= spent[at] + 1e-12) wrong.push(`layout ${i}, look ${at}: p ${p}`);
              // No treatment is called in a trial that is not.
              if (!stop && versusControl.some((one) => one.called)) wrong.push(`layout ${i}`);
              const share = slow[at].filter(Boolean).length / all.length;
              if (Math.abs(look.called - share) > 1e-12) wrong.push(`share ${look.called}`);
            });
          });
          expect(wrong).toEqual([]);
          called.forEach((count, at) => {
            expect(count).toBeLessThanOrEqual(spent[at] * all.length + 1e-9);
          });
        });
});

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

describe('the earliest look that can stop', () => {
  it('two treatments in four blocks: never at 5 %', () => {
    const { labels, strata } = blocksOf(2, 4);
    const of = { treatments: 2, control: 0 };
    const share = smallestDifferenceShare({ kind: 'strata', strata }, labels, of)!;
    expect(share).toBe(0.125);
    expect(earliestLook(share, spentBy(late, 5, 0.05))).toBeUndefined();
  });

  it('complete blocks: 2 (k - 1) / (k (k - 1))^b', () => {
    for (const [k, b] of [
      [3, 4],
      [4, 4],
      [5, 6],
    ] as const) {
      const { labels, strata } = blocksOf(k, b);
      const of = { treatments: k, control: 0 };
      const share = smallestDifferenceShare({ kind: 'strata', strata }, labels, of)!;
      expect(share / ((2 * (k - 1)) / (k * (k - 1)) ** b)).toBeCloseTo(1, 12);
    }
  });

  it('is what the most extreme layout of an enumeration reaches', () => {
    const designs = [
      { k: 3, ...blocksOf(3, 3) },
      {
        k: 3,
        labels: Uint8Array.of(0, 0, 0, 1, 1, 2, 2),
        strata: [[0, 1, 2, 3, 4, 5, 6]],
      },
    ];
    for (const { k, labels, strata } of designs) {
      const all = everyLayout(labels, strata);
      // Far apart, so that no two placings have the same difference by chance.
      const y = Float64Array.from(labels, (_, p) => 3.7 ** p);
      const t = all.map((row) => {
        const centred = y.slice();
        for (const s of strata) {
          const mean = s.reduce((sum, p) => sum + y[p], 0) / s.length;
          for (const p of s) centred[p] -= mean;
        }
        return plainDifference(centred, row, k);
      });
      const top = Math.max(...t);
      const reached = t.filter((value) => value >= top * (1 - 1e-9)).length / all.length;
      const of = { treatments: k, control: 0 };
      const set: LayoutSet = { kind: 'strata', strata };
      expect(smallestDifferenceShare(set, labels, of)).toBeCloseTo(reached, 12);
      const rows = new Uint8Array(all.flatMap((row) => [...row]));
      const list: LayoutSet = { kind: 'list', labels: rows, count: all.length };
      expect(smallestDifferenceShare(list, labels, of)).toBeCloseTo(reached, 12);
    }
  });

  it('agrees with the bounds: the most extreme trial stops there and no earlier', () => {
    const { labels, strata } = blocksOf(4, 4);
    const layouts: LayoutSet = { kind: 'strata', strata };
    const of = { treatments: 4, control: 0 };
    const share = smallestDifferenceShare(layouts, labels, of)!;
    const spent = spentBy(late, 6, 0.05);
    const found = earliestLook(share, spent)!;
    const noise = rounds(createRandom(2), 16, 1)[0];
    // The control the worst of every block, one treatment the best, and far from it.
    const y = noise.map((v, p) => v / 100 + [9, 0, 4, 5][labels[p]]);
    const looks = spent.map((may) => ({ y, spent: may }));
    const result = layoutLooks({ looks, labels, layouts, ...of, seed: 1 });
    expect(found).toBe(2);
    expect(result.looks.findIndex(({ stop }) => stop)).toBe(found);
    expect(result.looks[0].p).toBeCloseTo(share, 12);
  });
});

const plainDifference = (y: Float64Array, labels: Uint8Array, k: number): number => {
  const scaled = (l: number, sums: readonly number[], sizes: readonly number[]): number =>
    Math.abs(sums[l] / sizes[l] - sums[0] / sizes[0]) / Math.sqrt(1 / sizes[l] + 1 / sizes[0]);
  const sums = new Array<number>(k).fill(0);
  const sizes = new Array<number>(k).fill(0);
  labels.forEach((l, p) => {
    sums[l] += y[p];
    sizes[l]++;
  });
  return Math.max(...sums.map((_, l) => (l === 0 ? 0 : scaled(l, sums, sizes))));
};

describe('repeated intervals of a pair', () => {
  it('hold at what their look spends; few exchanges give no ends', () => {
    const { labels, strata } = blocksOf(2, 10);
    const layouts: LayoutSet = { kind: 'strata', strata };
    const y = rounds(createRandom(8), 20, 3);
    const looks = [{ y: y[0], spent: 0.0001 }, { spent: 0.001 }, { y: y[2], spent: 0.05 }];
    const [first, second, third] = pairIntervalsOfLooks({
      ...{ looks, labels, layouts, treatment: 1, control: 0, seed: 1 },
    });
    expect(first).toMatchObject({ low: null, high: null, reason: 'too-few-layouts' });
    expect(second).toBeUndefined();
    expect(third!.low! < third!.estimate! && third!.estimate! < third!.high!).toBe(true);
  });
});
