import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numbersOf, readAnswers, readTable } from '../../oracle/read';
import { exactTest } from '../exact/exact-test';
import { createRandom } from '../random';
import { scoresByPlot, scoreTest } from '../ranks/score-test';
import { logRankScores } from './interval-scores';
import { logRank } from './log-rank';

// R's sampled p rests on 200,000 draws: 4 standard errors near 0.042.
const tol = { closedForm: 1e-10, sampled: 0.0018 };

const R = readAnswers('days') as {
  plot_scores: { block: string; trt: string; scores: number }[];
  by_draw: { statistic: number; p: number };
};
const rows = readTable('survival_3x4x8');
const time = numbersOf(rows, 'time');
const happened = rows.map(({ status }) => status === '1');
const right = time.map((t, i) => (happened[i] ? t : Infinity));
const block = rows.map((row) => Number(row.block.slice(1)) - 1);
const group = rows.map(({ trt }) => 'ABC'.indexOf(trt));
const plot = block.map((b, i) => 3 * b + group[i]);

describe('log-rank scores', () => {
  it('exact days: sums of plots as in R, sums of treatments are observed less expected', () => {
    const scores = logRankScores({ left: time, right, block });
    const sums = scoresByPlot(scores, plot, 12, 'sum');
    for (const { block: b, trt, scores: sum } of R.plot_scores) {
      const at = 3 * (Number(b.slice(1)) - 1) + 'ABC'.indexOf(trt);
      expect(Math.abs(sums[at] - sum)).toBeLessThan(tol.closedForm);
    }
    const mantel = logRank({ time, happened, group, groups: 3, stratum: block });
    const { excess } = scoreTest({ scores, group, groups: 3, block });
    [0, 1, 2].forEach((g) =>
      expect(excess[g]).toBeCloseTo(mantel.observed[g] - mantel.expected[g], 9),
    );
  });

  it('plots as drawn: the share of layouts as extreme, against 200,000 draws of coin', () => {
    const scores = scoresByPlot(logRankScores({ left: time, right, block }), plot, 12, 'sum');
    const test = exactTest({
      y: scores,
      labels: Uint8Array.from({ length: 12 }, (_, p) => p % 3),
      layouts: {
        kind: 'strata',
        strata: [0, 1, 2, 3].map((b) => [3 * b, 3 * b + 1, 3 * b + 2]),
      },
      treatments: 3,
      control: 0,
      seed: 1,
    });
    if (test.kind === 'refused') throw new Error(test.reason);
    expect(test.layouts).toBe(1296n);
    expect(Math.abs(test.p - R.by_draw.p)).toBeLessThan(tol.sampled);
    const labels = Array.from({ length: 12 }, (_, p) => p % 3);
    const chi = scoreTest({
      scores,
      group: labels,
      groups: 3,
      block: labels.map((_, p) => Math.floor(p / 3)),
    });
    expect(chi.known && Math.abs(chi.statistic / R.by_draw.statistic - 1)).toBeLessThan(1e-9);
    // Plants taken one by one claim far more (survdiff with strata: p .00047).
    expect(test.p).toBeGreaterThan(0.03);
  });

  it('weeks in place of days change nothing where every plant was seen at every round', () => {
    const left = rows.map((row, i) => Number(happened[i] ? row.left : row.time) || -Infinity);
    const weekly = logRankScores({
      left,
      right: rows.map((row, i) => (happened[i] ? Number(row.right) : Infinity)),
      block,
    });
    logRankScores({ left: time, right, block }).forEach((score, i) =>
      expect(weekly[i]).toBeCloseTo(score, 10),
    );
  });

  it('any intervals: they add up to 0 in each block and are alike under a rising scale of days', () => {
    const value = fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 0, max: 5 }));
    fc.assert(
      fc.property(fc.array(value, { minLength: 2, maxLength: 20 }), (values) => {
        const left = values.map(([l]) => l);
        const until = values.map(([l, length]) => (length === 5 ? Infinity : l + length));
        const scores = logRankScores({ left, right: until });
        expect(Math.abs(scores.reduce((a, b) => a + b, 0))).toBeLessThan(1e-7);
        const risen = logRankScores({
          left: left.map((d) => d ** 3),
          right: until.map((d) => d ** 3),
        });
        scores.forEach((score, i) => expect(risen[i]).toBeCloseTo(score, 8));
      }),
    );
  });

  it('the exact p of plots is at most its level where plots differ but treatments do not', () => {
    // 400 trials: 3 treatments, 4 blocks, 5 plants a plot that share much, looked at weekly.
    const random = createRandom(4);
    const u = () => (random.next() + 0.5) * 2 ** -32;
    let exact = 0;
    let plants = 0;
    for (let trial = 0; trial < 400; trial++) {
      const days = Array.from({ length: 12 }, () => {
        const frailty = Math.exp(1.5 * (u() + u() + u() - 1.5) * 2);
        return Array.from({ length: 5 }, () => (-30 * Math.log(u())) / frailty);
      });
      const week = days.flat().map((d) => 7 * Math.floor(d / 7));
      const until = week.map((w) => (w >= 42 ? Infinity : w + 7));
      const from = week.map((w) => Math.min(w, 42));
      const own = from.map((_, i) => Math.floor(i / 15));
      const scores = logRankScores({ left: from, right: until, block: own });
      const naive = scoreTest({
        scores,
        group: from.map((_, i) => Math.floor(i / 5) % 3),
        groups: 3,
        block: own,
      });
      if (naive.known && naive.p <= 0.05) plants++;
      const test = exactTest({
        y: scoresByPlot(
          scores,
          from.map((_, i) => Math.floor(i / 5)),
          12,
          'sum',
        ),
        labels: Uint8Array.from({ length: 12 }, (_, p) => p % 3),
        layouts: {
          kind: 'strata',
          strata: [0, 1, 2, 3].map((b) => [3 * b, 3 * b + 1, 3 * b + 2]),
        },
        treatments: 3,
        seed: 1,
      });
      if (test.kind === 'tested' && test.p <= 0.05) exact++;
    }
    // 5 % of 400 is 20, standard error 4.4; plants taken one by one claim several times that.
    expect(exact).toBeLessThan(36);
    expect(exact).toBeGreaterThan(5);
    expect(plants).toBeGreaterThan(60);
  });
});
