import { describe, expect, it } from 'vitest';
import { clopperPearson } from '../distributions/counts';
import { fUpper } from '../distributions/fisher';
import { createRandom } from '../random';
import { bootstrapTreatment } from './bootstrap';
import { simulateCounts } from './simulate';
import { createTreatmentTester } from './treatment-test';

const numbered = (name: string, of: (plot: number) => number, levels: number) => ({
  name,
  codes: Array.from({ length: 16 }, (_, plot) => of(plot)),
  levels: Array.from({ length: levels }, (_, l) => `${name} ${l}`),
});

// 4 treatments x 4 blocks, 72 leaves a plot, no effect of any treatment: the "null" of the study in
// oracle/counts-size-study.ts (its table is in docs/methods.md).
const treatment = numbered('treatment', (plot) => plot % 4, 4);
const block = numbered('block', (plot) => Math.floor(plot / 4), 4);
const plot = numbered('plot', (at) => at, 16);
const degrees = { plots: 16, error: 9, above: ['block'] };
const leaves = new Float64Array(16).fill(72);
const tester = createTreatmentTester(
  { rows: 16, factors: [treatment], random: [block, plot] },
  degrees,
)!;
const planOf = (logit: number, block: number, plot: number) => ({
  logits: new Float64Array(16).fill(logit),
  trials: leaves,
  terms: tester.groupings.terms,
  sd: [block, plot],
});

describe('the likelihood ratio on trials without effect', () => {
  const TRIALS = 20000;
  const random = createRandom(20261125);
  const plan = planOf(-1, 0.4, 0.35);
  const made = new Float64Array(16);
  const p = new Float64Array(TRIALS);
  let plain = 0;
  let overDf = 0;
  let unsettled = 0;
  for (let i = 0; i < TRIALS; i++) {
    const test = tester.test(simulateCounts(plan, random, made), leaves);
    p[i] = test.p;
    if (test.pPlain <= 0.05) plain++;
    if (fUpper(test.statistic / test.df, test.df, degrees.error) <= 0.05) overDf++;
    if (!test.converged) unsettled++;
  }
  const shareBelow = (level: number) => p.filter((v) => v <= level).length;

  it('settles every time', () => expect(unsettled).toBe(0));

  it.each([0.01, 0.05, 0.1])('held against F it claims no more than %f of them', (level) => {
    const claims = shareBelow(level);
    expect(clopperPearson(claims, TRIALS, 0.95).lower).toBeLessThan(level);
    // And not far less: nothing is given away.
    expect(claims / TRIALS).toBeGreaterThan(0.6 * level);
  });

  it('held against chi-square it claims twice as many as it says', () => {
    expect(clopperPearson(plain, TRIALS, 0.99).lower).toBeGreaterThan(0.09);
  });

  it('over its degrees of freedom against F it finds too little', () => {
    expect(clopperPearson(overDf, TRIALS, 0.99).upper).toBeLessThan(0.04);
  });

  it('p is near uniform: nowhere more than 0.03 from its level', () => {
    for (let level = 0.05; level < 1; level += 0.05) {
      expect(Math.abs(shareBelow(level) / TRIALS - level)).toBeLessThan(0.03);
    }
  });
}, 120_000);

describe('the bootstrap', () => {
  it('one seed gives one p; the tester holds the trial’s own fits afterwards', () => {
    const successes = simulateCounts(planOf(-1, 0.4, 0.35), createRandom(3));
    const run = () =>
      bootstrapTreatment(tester, { successes, trials: leaves }, 99, createRandom(8));
    const first = run();
    expect(run()).toEqual(first);
    expect(first.p).toBe((1 + first.hits) / 100);
    const sd = tester.full.sd();
    tester.ratio(successes, leaves);
    expect(tester.full.sd()).toEqual(sd);
  });

  it('finds an effect that is plain to see, and can’t go below 1 in draws + 1', () => {
    const logits = Float64Array.from(treatment.codes, (t) => (t === 0 ? 0 : -2));
    const plan = { ...planOf(0, 0.4, 0.2), logits };
    const successes = simulateCounts(plan, createRandom(3));
    const counts = { successes, trials: leaves };
    expect(bootstrapTreatment(tester, counts, 99, createRandom(1)).p).toBe(0.01);
  });

  it('claims about its level of trials without effect, also where plots are alike', () => {
    for (const sd of [0.35, 0]) {
      const random = createRandom(77);
      const plan = planOf(-1, 0.4, sd);
      let claims = 0;
      for (let i = 0; i < 150; i++) {
        const counts = { successes: simulateCounts(plan, random), trials: leaves };
        if (bootstrapTreatment(tester, counts, 39, random).p <= 0.1) claims++;
      }
      const { lower, upper } = clopperPearson(claims, 150, 0.999);
      expect(lower).toBeLessThan(0.1);
      expect(upper).toBeGreaterThan(0.1);
    }
  });
}, 120_000);

it('crossed groupings, or one treatment: no tester', () => {
  const column = numbered('column', (at) => at % 4, 4);
  const random = [block, column];
  expect(
    createTreatmentTester({ rows: 16, factors: [treatment], random }, degrees),
  ).toBeUndefined();
  const one = { ...treatment, codes: treatment.codes.map(() => 0) };
  const layout = { rows: 16, factors: [one], random: [block, plot] };
  expect(createTreatmentTester(layout, degrees)).toBeUndefined();
});
