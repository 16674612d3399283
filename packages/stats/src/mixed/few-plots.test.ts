import { describe, expect, it } from 'vitest';
import { factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { fUpper } from '../distributions/fisher';
import { createRandom } from '../random';
import { fewPlotsTest, plotWidening, shiftsVersusControl } from './few-plots';
import { leastSquaresGrades } from './grade-probabilities';
import { plainLikelihoodRatio } from './likelihood-ratio';
import { oddsCheck } from './ordinal-odds-check';
import { fitOrdinalMixed } from './ordinal-mixed';

const rows = readTable('ordinal_4x5x5');
const fit = fitOrdinalMixed({
  grades: numbersOf(rows, 'score'),
  classes: 6,
  fixed: { factors: [factorOf(rows, 'trt')] },
  random: [factorOf(rows, 'block'), factorOf(rows, 'plot')],
});
// Twenty plots in five blocks, four treatments: 20 - 5 - 3.
const degrees = { plots: 20, error: 12, above: ['block'] };

describe('treatments against the control with few plots', () => {
  it('estimates are the fit’s, standard errors are widened by sqrt(15 / 12)', () => {
    expect(plotWidening(fit, degrees)).toBeCloseTo(Math.sqrt(15 / 12), 14);
    const { shifts, df } = shiftsVersusControl(fit, degrees)!;
    expect(df).toBe(12);
    shifts.forEach((shift, i) => {
      expect(shift.estimate).toBe(fit.fixed[i].estimate);
      expect(shift.se / fit.fixed[i].se!).toBeCloseTo(Math.sqrt(15 / 12), 12);
      // Limits leave out 0 where p is below 0.05, and only there.
      expect(shift.low > 0 || shift.high < 0).toBe(shift.p < 0.05);
      expect(shift.p).toBeGreaterThan(fit.fixed[i].p!);
    });
    expect(shifts.map(({ name }) => name)).toEqual(['B', 'C', 'D']);
  });

  it('the likelihood ratio 8.542 of R (clmm), held against F, says less than its chi-square', () => {
    const plain = plainLikelihoodRatio(fit)!;
    const test = fewPlotsTest(fit, plain.logLikWithout, degrees)!;
    expect(test.ratio).toBeCloseTo(8.542256, 4);
    expect([test.df1, test.df2]).toEqual([3, 12]);
    expect(test.f).toBeCloseTo(4 * Math.expm1(test.ratio / 15), 12);
    expect(test.p).toBeCloseTo(fUpper(test.f, 3, 12), 14);
    expect(test.p).toBeGreaterThan(plain.plainP);
  });

  it('is the F of least squares where only plots vary: F 4.5 from its own likelihood ratio', () => {
    // Balanced blocks, normal errors: LR = (n - b) log(1 + F df1 / df2).
    const ratio = 15 * Math.log(1 + (4.5 * 3) / 12);
    const test = fewPlotsTest({ ...fit, logLik: ratio / 2 }, 0, degrees)!;
    expect(test.f).toBeCloseTo(4.5, 12);
    const flat = fit.groups.map((g) => (g.name === 'block' ? { ...g, atZero: true } : g));
    // Blocks that don't differ leave all twenty plots: f is smaller.
    expect(fewPlotsTest({ ...fit, groups: flat, logLik: ratio / 2 }, 0, degrees)!.f).toBeCloseTo(
      4 * Math.expm1(ratio / 20),
      12,
    );
  });

  it('refuses a layout that leaves no error', () => {
    expect(() => shiftsVersusControl(fit, { ...degrees, error: 0 })).toThrow('from 1 to less than');
    expect(() => fewPlotsTest(fit, 0, { ...degrees, error: 20 })).toThrow('20 plots; got 20');
  });

  it('shares of grades keep within 0 and 1 on the logit and reach as far as asked', () => {
    const wide = leastSquaresGrades(fit, 3)!;
    const narrow = leastSquaresGrades(fit)!;
    wide.forEach((level, t) =>
      level.probabilities.forEach(({ estimate, se, low, inside }, k) => {
        expect(low).toBeCloseTo(estimate - 3 * se, 12);
        expect(inside.low).toBeGreaterThan(0);
        expect(inside.high).toBeLessThan(1);
        expect(inside.low).toBeLessThan(narrow[t].probabilities[k].inside.low);
        // To first order the two kinds of limits have one slope.
        const small = leastSquaresGrades(fit, 1e-4)![t].probabilities[k];
        expect((small.inside.high - small.inside.low) / (small.high - small.low)).toBeCloseTo(1, 4);
      }),
    );
  });

  it('claims at most about 5 % of trials without effect, the plain chi-square twice as many', () => {
    // 4 treatments, 4 blocks, 5 plants a plot, plots and blocks that differ (sd 1 and 0.4 logits).
    // The long table is in oracle/grades-study.ts; 200 trials here: standard error 1.5 %.
    const random = createRandom(11);
    const u = () => (random.next() + 0.5) * 2 ** -32;
    const normal = () => Math.sqrt(-2 * Math.log(u())) * Math.cos(2 * Math.PI * u());
    const cuts = [-0.8, 0.9];
    const plotOf = Int32Array.from({ length: 80 }, (_, i) => Math.floor(i / 5));
    const levels = (n: number) => Array.from({ length: n }, (_, i) => String(i));
    const claims = { joint: 0, one: 0, plain: 0 };
    for (let trial = 0; trial < 200; trial++) {
      const blocks = levels(4).map(() => 0.4 * normal());
      const plots = levels(16).map((_, p) => normal() + blocks[Math.floor(p / 4)]);
      const grades = Array.from(plotOf, (p) => {
        const latent = plots[p] + Math.log(1 / u() - 1);
        return cuts.filter((cut) => latent > cut).length;
      });
      const one = fitOrdinalMixed({
        grades,
        classes: 3,
        fixed: { factors: [{ name: 't', codes: plotOf.map((p) => p % 4), levels: levels(4) }] },
        random: [
          { name: 'block', codes: plotOf.map((p) => Math.floor(p / 4)), levels: levels(4) },
          { name: 'plot', codes: plotOf, levels: levels(16) },
        ],
      });
      const plain = plainLikelihoodRatio(one)!;
      const layout = { plots: 16, error: 9, above: ['block'] };
      if (plain.plainP <= 0.05) claims.plain++;
      if (fewPlotsTest(one, plain.logLikWithout, layout)!.p <= 0.05) claims.joint++;
      if (shiftsVersusControl(one, layout)?.shifts.some(({ p }) => p <= 0.05)) claims.one++;
    }
    expect(claims.joint).toBeLessThanOrEqual(18);
    expect(claims.one).toBeLessThanOrEqual(18);
    expect(claims.plain).toBeGreaterThan(18);
  });
});

describe('proportional odds', () => {
  const R = readAnswers('grades') as Record<
    'plants' | 'wine',
    { statistic: number; df: number; p: number }
  >;
  it('against clm with nominal effects (R 4.2.2)', () => {
    const wine = readTable('wine');
    const temperature = factorOf(wine, 'temp');
    const got = {
      plants: oddsCheck({
        grades: numbersOf(rows, 'score'),
        classes: 6,
        group: factorOf(rows, 'trt').codes,
        groups: 4,
      })!,
      wine: oddsCheck({
        grades: numbersOf(wine, 'rating').map((g) => g - 1),
        classes: 5,
        group: temperature.codes,
        groups: 2,
      })!,
    };
    for (const name of ['plants', 'wine'] as const) {
      expect(got[name].df).toBe(R[name].df);
      expect(Math.abs(got[name].statistic - R[name].statistic)).toBeLessThan(1e-5);
      expect(Math.abs(got[name].p / R[name].p - 1)).toBeLessThan(1e-5);
    }
  });

  it('shifts that are alike pass, treatments that only spread do not', () => {
    const shifted = [0, 0, 1, 1, 2, 2, 2, 3, 0, 1, 1, 2, 2, 3, 3, 3];
    const group = shifted.map((_, i) => Math.floor(i / 8));
    expect(oddsCheck({ grades: shifted, classes: 4, group, groups: 2 })!.p).toBeGreaterThan(0.5);
    const spread = Array.from({ length: 80 }, (_, i) =>
      i < 40 ? 1 + (i % 2) : i % 2 === 0 ? 0 : 3,
    );
    const halves = spread.map((_, i) => Math.floor(i / 40));
    expect(oddsCheck({ grades: spread, classes: 4, group: halves, groups: 2 })!.p).toBeLessThan(
      1e-9,
    );
  });

  it('two grades leave nothing to check', () => {
    expect(oddsCheck({ grades: [0, 1, 0, 1], classes: 2, group: [0, 0, 1, 1], groups: 2 })).toBe(
      undefined,
    );
  });
});
