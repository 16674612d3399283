import { describe, expect, it } from 'vitest';
import { numbersOf, readAnswers, readTable } from '../../oracle/read';
import { smallDesigns } from '../../oracle/small-designs';
import { blocksOf, cycle, slowStatistics } from '../../oracle/slow-layouts';
import { clopperPearson } from '../distributions/counts';
import { createRandom } from '../random';
import { exactTest } from './exact-test';
import { type FamilyRequest, stepDownFamily } from './step-down-family';

/** Step-down by its definition, from every layout's statistics, the drawn one's first. */
const slowFamily = (drawn: readonly number[], all: readonly (readonly number[])[]) => {
  const size = drawn.map(Math.abs);
  const share = (i: number, among: readonly number[]): number =>
    all.filter((row) => Math.max(...among.map((j) => Math.abs(row[j]))) >= size[i] - 1e-7).length /
    all.length;
  const order = [...size.keys()].sort((a, b) => size[b] - size[a]);
  const step: number[] = [];
  order.forEach((i, rank) => {
    const before = rank === 0 ? 0 : step[order[rank - 1]];
    step[i] = Math.max(before, share(i, order.slice(rank)));
  });
  return { p: size.map((_, i) => share(i, [i])), step };
};

describe('step-down over treatments and outcomes', () => {
  for (const design of smallDesigns) {
    const { name, labels, treatments, layouts, factors, all } = design;
    it(`gives by hand what it gives over every layout: ${name}`, () => {
      const random = createRandom(13);
      const first = Float64Array.from(labels, (l) => random.normal() + l);
      const second = first.map((x) => Math.exp(x + random.normal()));
      const lost = first.map((x, p) => (p === 2 ? NaN : x));
      for (const values of [
        [first, second],
        [second, lost],
      ]) {
        const slow = (layout: Uint8Array): number[] =>
          values.flatMap((y) => slowStatistics(y, layout, { k: treatments, control: 1, factors }));
        const found = stepDownFamily({
          values,
          labels,
          treatments,
          layouts,
          blocks: factors,
          control: 1,
          seed: 1,
        });
        // In a split plot each statistic is over its root mean square besides (joint-relabelings.test.ts).
        const even = slow(labels).map((x, i) =>
          layouts.kind === 'draw' ? found.members[i].statistic / x : 1,
        );
        const evened = (layout: Uint8Array) => slow(layout).map((x, i) => x * even[i]);
        const expected = slowFamily(evened(labels), all.map(evened));
        expect(found.enumerated).toBe(true);
        found.members.forEach((member, i) => {
          expect(member.p).toBeCloseTo(expected.p[i], 12);
          expect(member.pStepDown).toBeCloseTo(expected.step[i], 12);
        });
      }
    });
  }

  // R 4.2.2, packages/stats/oracle/R/family.R: plain enumeration, and coin's free step-down.
  it('agrees with R over all 331,776 layouts of 4 x 4, and with coin’s sampled step-down', () => {
    const answers = readAnswers('family') as {
      statistics: number[];
      p: number[];
      step_down: number[];
      layouts: number;
      coin_statistics: number[];
      coin_step_down: number[];
      coin_resamples: number;
    };
    const y = Float64Array.from(numbersOf(readTable('rcbd_4x4'), 'y'));
    const request: FamilyRequest = {
      values: [y, y.map((x) => 1000 / (x + 10))],
      labels: cycle(4, 4),
      layouts: blocksOf(4, 4),
      treatments: 4,
      control: 0,
      seed: 1,
    };
    const found = stepDownFamily(request);
    expect(found.layouts).toBe(answers.layouts);
    // Monte Carlo: four standard errors.
    const sampled = (p: number, draws: number) => 4 * Math.sqrt((p * (1 - p)) / draws) + 1 / draws;
    const drawn = stepDownFamily({ ...request, maxLayouts: 1, draws: 100_001 });
    found.members.forEach(({ statistic, p, pStepDown }, i) => {
      expect(statistic).toBeCloseTo(answers.statistics[i], 10);
      expect(statistic).toBeCloseTo(answers.coin_statistics[i], 10);
      expect(p).toBeCloseTo(answers.p[i], 12);
      expect(pStepDown).toBeCloseTo(answers.step_down[i], 12);
      expect(Math.abs(pStepDown - answers.coin_step_down[i])).toBeLessThan(
        sampled(pStepDown, answers.coin_resamples),
      );
      const ours = drawn.members[i];
      expect(Math.abs(ours.pStepDown - pStepDown)).toBeLessThan(sampled(pStepDown, 100_001));
      // (1 + hits) / (1 + draws) is a whole number of 1 / (1 + draws).
      expect(ours.p * 100_002).toBeCloseTo(Math.round(ours.p * 100_002), 6);
      expect(ours.p).toBeGreaterThanOrEqual(1 / 100_002);
    });
  });

  it('is the test of the layout where there is one outcome', () => {
    const y = Float64Array.from(numbersOf(readTable('rcbd_4x4'), 'y'));
    for (const lost of [-1, 6]) {
      const values = y.map((x, p) => (p === lost ? NaN : x));
      const request = {
        labels: cycle(4, 4),
        layouts: blocksOf(4, 4),
        treatments: 4,
        control: 0,
        seed: 1,
        maxLayouts: 400_000,
      };
      const one = exactTest({ ...request, y: values, pairs: false });
      if (one.kind !== 'tested') throw new Error(one.reason);
      stepDownFamily({ ...request, values: [values] }).members.forEach((member, i) => {
        expect(member.p).toBeCloseTo(one.versusControl?.[i].p ?? NaN, 12);
        expect(member.pStepDown).toBeCloseTo(one.versusControl?.[i].pStepDown ?? NaN, 12);
      });
    }
  });

  it('finds 1726 of 32,768 in Darwin’s maize (Fisher 1935, Design of Experiments, 21)', () => {
    const differences = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48];
    const y = Float64Array.from(differences.flatMap((d) => [0, d]));
    const set = { labels: cycle(2, 15), layouts: blocksOf(2, 15), treatments: 2, control: 0 };
    const [member] = stepDownFamily({ ...set, values: [y], seed: 1 }).members;
    expect(member.p).toBe(1726 / 32768);
    expect(member.pStepDown).toBe(1726 / 32768);
    // The same outcome in another unit beside it takes nothing away: both always agree.
    const twice = stepDownFamily({ ...set, values: [y, y.map((v) => 7 - v / 2.54)], seed: 1 });
    for (const { pStepDown } of twice.members) expect(pStepDown).toBe(1726 / 32768);
  });

  it('does not change with units, names of treatments, or the order of blocks and outcomes', () => {
    const random = createRandom(4);
    const labels = cycle(4, 4);
    const values = [0, 1, 2].map(() => Float64Array.from(labels, (l) => random.normal() - l));
    const request = { labels, layouts: blocksOf(4, 4), treatments: 4, control: 0, seed: 1 };
    const before = stepDownFamily({ ...request, values }).members;
    const close = (members: typeof before, place: (i: number) => number): void => {
      before.forEach(({ p, pStepDown }, i) => {
        expect(members[place(i)].p).toBeCloseTo(p, 12);
        expect(members[place(i)].pStepDown).toBeCloseTo(pStepDown, 12);
      });
    };
    const scaled = values.map((y, o) => y.map((x) => 1e4 - x * 10 ** (3 * o)));
    close(stepDownFamily({ ...request, values: scaled }).members, (i) => i);
    const turned = values.map((y) => y.map((_, p) => y[15 - p]));
    const backwards = { ...request, labels: labels.toReversed(), values: turned };
    close(stepDownFamily(backwards).members, (i) => i);
    close(
      stepDownFamily({ ...request, values: values.toReversed() }).members,
      (i) => [6, 7, 8, 3, 4, 5, 0, 1, 2].at(i) ?? -1,
    );
    const renamed = { ...request, labels: labels.map((l) => 3 - l), control: 3 };
    close(stepDownFamily({ ...renamed, values }).members, (i) => i - (i % 3) + 2 - (i % 3));
  });
});

describe('what the family’s p-values hold for', () => {
  for (const { name, labels, treatments, layouts, factors, all } of smallDesigns) {
    // A permutation p-value is exact: over all layouts taken as drawn, at most a share alpha is below alpha.
    it(`claims anything in no more than its share of the layouts, each taken as drawn: ${name}`, () => {
      const random = createRandom(31);
      const first = Float64Array.from(labels, () => random.normal());
      const values = [first, first.map((x) => Math.round(x * 3 + random.normal()))];
      const few = all.filter((_, i) => all.length <= 300 || i % Math.ceil(all.length / 300) === 0);
      const least: number[] = [];
      const p: number[] = [];
      for (const drawn of few) {
        const { members } = stepDownFamily({
          values,
          labels: drawn,
          treatments,
          layouts,
          blocks: factors,
          control: 0,
          seed: 1,
        });
        least.push(Math.min(...members.map((m) => m.pStepDown)));
        p.push(members[0].p);
      }
      // Of all layouts exactly; of an even selection of them within four standard errors.
      const room = (alpha: number): number =>
        few.length === all.length ? 1e-9 : 4 * Math.sqrt((alpha * (1 - alpha)) / few.length);
      for (const alpha of [0.02, 0.05, 0.1, 0.25, 0.5, 0.8])
        for (const found of [least, p])
          expect(found.filter((x) => x <= alpha + 1e-12).length / few.length).toBeLessThanOrEqual(
            alpha + room(alpha),
          );
    });
  }

  it('are claimed wrongly in no more than 5 % of trials when other outcomes or treatments work', () => {
    // Three outcomes of 4 treatments in 4 blocks that share part of their chance; effects in standard
    // deviations of a plot: none at all, great ones in the first outcome, one treatment in all of them.
    const trials = 400;
    const labels = cycle(4, 4);
    for (const [effects, spread] of [
      [[0, 0, 0], 1],
      [[-8, 0, 0], 0.2],
      [[-8, -8, -8], 0.2],
    ] as const) {
      const random = createRandom(77);
      let wrong = 0;
      for (let trial = 0; trial < trials; trial++) {
        const shared = Array.from(labels, () => random.normal());
        // Treatment 1 works where an outcome has an effect, and makes its plots more alike.
        const values = effects.map((effect) =>
          Float64Array.from(labels, (l, p) => {
            const works = l === 1 && effect !== 0;
            return (works ? effect : 0) + (works ? spread : 1) * (shared[p] + random.normal());
          }),
        );
        const set = { labels, layouts: blocksOf(4, 4), treatments: 4, control: 0 };
        const { members } = stepDownFamily({
          ...set,
          values,
          seed: random.next(),
          maxLayouts: 1,
          draws: 499,
        });
        const claimed = members.filter(({ pStepDown }) => pStepDown <= 0.05);
        if (claimed.some((m) => m.treatment !== 1 || effects[m.outcome] === 0)) wrong++;
      }
      // Rejected only where 5 % is out of reach of the exact interval.
      expect(clopperPearson(wrong, trials, 0.999).lower).toBeLessThanOrEqual(0.05);
    }
  });
});
