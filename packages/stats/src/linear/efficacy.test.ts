import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factorFrom, factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { tQuantile } from '../distributions/student';
import { versusControl } from './compare';
import { abbottEfficacy, hendersonTilton } from './efficacy';
import { fitLinear } from './fit';
import { leastSquaresMeans } from './lsmeans';
import { logRatioInterval, ratioInterval } from './ratio';

// R's side was found by uniroot (tol 1e-14 on the argument), ours in closed form.
const tol = { root: 1e-8, closed: 1e-10 };

const answers = readAnswers('linear') as {
  fieller: { bounded: number[]; exclusive: number[] };
  ratio_4x4_missing: {
    ratio: number[];
    log_low: number[];
    log_high: number[];
    fieller: number[][];
  };
  henderson_tilton: { percent: number[]; low: number[]; high: number[] };
};

function near(got: number | undefined, expected: number, relative: number) {
  expect(got).toBeDefined();
  expect(Math.abs(got! - expected)).toBeLessThanOrEqual(relative * Math.max(1, Math.abs(expected)));
}

describe("Fieller's interval", () => {
  const errors = { varNumerator: 16, varDenominator: 25, covariance: 5, df: 9 };

  it('bounded when the denominator is sure (R: roots of the t test that defines it)', () => {
    const got = ratioInterval({ numerator: 12, denominator: 60, ...errors });
    if (got.kind !== 'bounded') throw new Error(got.kind);
    near(got.low, answers.fieller.bounded[0], tol.root);
    near(got.high, answers.fieller.bounded[1], tol.root);
    expect(got.ratio).toBe(0.2);
  });

  it('all but a gap when only the denominator is unsure', () => {
    const got = ratioInterval({ numerator: 30, denominator: 8, ...errors });
    if (got.kind !== 'exclusive') throw new Error(got.kind);
    near(got.below, answers.fieller.exclusive[0], tol.root);
    near(got.above, answers.fieller.exclusive[1], tol.root);
    expect(got.ratio).toBeGreaterThan(got.above);
  });

  it('every ratio when neither is sure; none for a denominator of 0', () => {
    expect(ratioInterval({ numerator: 3, denominator: 8, ...errors })).toEqual({
      kind: 'unbounded',
      ratio: 0.375,
    });
    expect(ratioInterval({ numerator: 3, denominator: 0, ...errors }).kind).toBe('none');
  });

  it('without any variance the ratio itself', () => {
    const none = { varNumerator: 0, varDenominator: 0, covariance: 0, df: 5 };
    const got = ratioInterval({ numerator: 1, denominator: 3, ...none });
    expect(got).toMatchObject({ kind: 'bounded' });
    if (got.kind === 'bounded') {
      near(got.low, 1 / 3, tol.root);
      near(got.high, 1 / 3, tol.root);
    }
  });

  const input = fc.record({
    numerator: fc.double({ min: -50, max: 50, noNaN: true }),
    denominator: fc.double({ min: -50, max: 50, noNaN: true }).filter((d) => Math.abs(d) > 0.01),
    sn: fc.double({ min: 0.1, max: 20, noNaN: true }),
    sd: fc.double({ min: 0.1, max: 20, noNaN: true }),
    rho: fc.double({ min: -0.95, max: 0.95, noNaN: true }),
    df: fc.integer({ min: 1, max: 40 }),
    r: fc.double({ min: -20, max: 20, noNaN: true }),
  });

  it('holds a ratio exactly when the t test of numerator - r denominator does', () => {
    fc.assert(
      fc.property(input, ({ numerator, denominator, sn, sd, rho, df, r }) => {
        const covariance = rho * sn * sd;
        const got = ratioInterval({
          numerator,
          denominator,
          varNumerator: sn * sn,
          varDenominator: sd * sd,
          covariance,
          df,
        });
        const se = Math.sqrt(sn * sn - 2 * r * covariance + r * r * sd * sd);
        const margin = Math.abs(numerator - r * denominator) / se - tQuantile(0.975, df);
        if (Math.abs(margin) < 1e-6) return;
        const holds =
          got.kind === 'unbounded' ||
          (got.kind === 'bounded' && r >= got.low && r <= got.high) ||
          (got.kind === 'exclusive' && (r <= got.below || r >= got.above));
        expect(holds).toBe(margin < 0);
      }),
      { numRuns: 1000 },
    );
  });

  it('comes close to the log-ratio interval when both are sure, and is undefined below 0', () => {
    const sure = {
      numerator: 40,
      denominator: 60,
      varNumerator: 0.01,
      varDenominator: 0.02,
      covariance: 0,
      df: 30,
    };
    const fieller = ratioInterval(sure);
    const log = logRatioInterval(sure);
    if (fieller.kind !== 'bounded' || !log) throw new Error('interval');
    near(fieller.low, log.low, 1e-5);
    near(fieller.high, log.high, 1e-5);
    expect(logRatioInterval({ ...sure, numerator: -1 })).toBeUndefined();
  });
});

describe("Abbott's efficacy", () => {
  const rows = readTable('rcbd_4x4_missing');
  const fit = fitLinear({
    y: numbersOf(rows, 'y'),
    terms: [factorOf(rows, 'block'), factorOf(rows, 'trt')],
  });
  const lsm = leastSquaresMeans(fit, 'trt');

  it('blocks with lost plots against R: adjusted means, their covariance, roots of the t test', () => {
    const r = answers.ratio_4x4_missing;
    abbottEfficacy(lsm, 0).forEach((got, i) => {
      near(got.percent, 100 * (1 - r.ratio[i]), tol.closed);
      near(got.low, 100 * (1 - r.fieller[i][1]), tol.root);
      near(got.high, 100 * (1 - r.fieller[i][0]), tol.root);
    });
  });

  it('the log-ratio interval from the same means, against R', () => {
    if (!fit.spread.known) throw new Error('spread');
    const { ms, df } = fit.spread;
    const v = (i: number, j: number) => lsm.unscaled[i][j]! * ms;
    [1, 2, 3].forEach((i) => {
      const got = logRatioInterval({
        numerator: lsm.means[i].estimate!,
        denominator: lsm.means[0].estimate!,
        varNumerator: v(i, i),
        varDenominator: v(0, 0),
        covariance: v(i, 0),
        df,
      });
      near(got?.low, answers.ratio_4x4_missing.log_low[i - 1], tol.closed);
      near(got?.high, answers.ratio_4x4_missing.log_high[i - 1], tol.closed);
    });
  });

  const trial = (y: number[]) =>
    leastSquaresMeans(
      fitLinear({
        y,
        terms: [
          factorFrom(
            'trt',
            y.map((_, i) => 'CT'[i % 2]),
          ),
        ],
      }),
      'trt',
    );

  it('control 60, treated 12: 80 %; more disease than the control keeps its sign', () => {
    near(abbottEfficacy(trial([60, 12, 60.5, 11.5, 59.5, 12.5]), 0)[0].percent, 80, tol.closed);
    near(abbottEfficacy(trial([10, 15, 10.5, 14.5, 9.5, 15.5]), 0)[0].percent, -50, tol.closed);
  });

  it('says why there is no figure or no interval', () => {
    const why = (y: number[]) => abbottEfficacy(trial(y), 0)[0];
    expect(why([0, 1, 0, 2])).toMatchObject({ percent: undefined, why: 'control-not-positive' });
    expect(why([60, 12])).toMatchObject({ low: undefined, why: 'no-residual-df' });
    near(why([60, 12]).percent, 80, tol.closed);
    // A treated mean of 0, however the arithmetic rounds it, is 100 %.
    expect(why([30, 0, 40, 0, 50, 0]).percent).toBe(100);
    expect(why([1, 3, 9, 1])).toMatchObject({ low: undefined, why: 'control-too-uncertain' });
    expect(why([0, 0, 0, 0])).toMatchObject({ percent: undefined, why: 'control-not-positive' });
    expect(why([4, 2, 4, 2])).toMatchObject({ low: undefined, why: 'perfect-fit' });
  });
});

it("the example of the room's README", () => {
  const block = factorFrom('block', ['1', '1', '2', '2', '3', '3']);
  const levels = ['untreated', 'sprayed'];
  const trt = { kind: 'factor', name: 'trt', codes: [0, 1, 0, 1, 0, 1], levels } as const;
  const fit = fitLinear({ y: [60, 14, 66, 12, 57, 19], terms: [block, trt] });
  const means = leastSquaresMeans(fit, 'trt');
  const { difference, se, p } = versusControl(means, 0).comparisons[0];
  const { percent, low, high } = abbottEfficacy(means, 0)[0];
  const shown = [difference, se, p, percent, low, high];
  [-46, 4.62, 0.0099, 75.4, 49.6, 98.4].forEach((value, i) => {
    near(
      shown[i],
      value,
      [0.005, 0.005, 0.00005, 0.05, 0.05, 0.05][i] / Math.max(1, Math.abs(value)),
    );
  });
});

describe("Henderson and Tilton's efficacy", () => {
  const trial = (y: readonly number[], labels: readonly string[]) =>
    leastSquaresMeans(fitLinear({ y, terms: [factorFrom('trt', labels)] }), 'trt');

  it('treated 50 to 8, control 60 to 90: 89.333 %, as Sun and Shepard reckon it too', () => {
    const labels = ['C', 'T', 'C', 'T'];
    const [got] = hendersonTilton(
      trial([58, 49, 62, 51], labels),
      trial([91, 7, 89, 9], labels),
      0,
    );
    near(got.percent, 100 * (1 - (8 * 60) / (50 * 90)), tol.closed);
    near(got.percent, (100 * (84 + 50)) / (100 + 50), tol.closed);
    expect(got.low!).toBeLessThan(got.percent!);
    expect(got.high!).toBeGreaterThan(got.percent!);
  });

  it('blocks with a baseline against R: covariances from the two-response linear model', () => {
    const rows = readTable('ancova_4x5');
    const terms = [factorOf(rows, 'block'), factorOf(rows, 'trt')];
    const of = (name: string) =>
      leastSquaresMeans(fitLinear({ y: numbersOf(rows, name), terms }), 'trt');
    hendersonTilton(of('base'), of('y'), 0).forEach((got, i) => {
      near(got.percent, answers.henderson_tilton.percent[i], tol.closed);
      near(got.low, answers.henderson_tilton.low[i], tol.closed);
      near(got.high, answers.henderson_tilton.high[i], tol.closed);
    });
  });

  it('with one baseline everywhere it is Abbott, by the log ratio', () => {
    const labels = ['C', 'T', 'C', 'T', 'C', 'T'];
    const after = trial([60, 12, 66, 14, 57, 10], labels);
    const [got] = hendersonTilton(trial([20, 20, 20, 20, 20, 20], labels), after, 0);
    if (!after.fit.spread.known) throw new Error('spread');
    const variance = after.fit.spread.ms / 3;
    const log = logRatioInterval({
      numerator: 12,
      denominator: 61,
      varNumerator: variance,
      varDenominator: variance,
      covariance: 0,
      df: 4,
    });
    near(got.percent, abbottEfficacy(after, 0)[0].percent!, tol.closed);
    near(got.low, 100 * (1 - log!.high), tol.closed);
    near(got.high, 100 * (1 - log!.low), tol.closed);
  });

  it('says why there is no figure or no interval', () => {
    const labels = ['C', 'T', 'C', 'T'];
    const clean = trial([30, 0, 40, 0], labels);
    const some = trial([12, 9, 14, 11], labels);
    expect(hendersonTilton(some, clean, 0)[0]).toMatchObject({
      percent: 100,
      why: 'treated-not-positive',
    });
    expect(hendersonTilton(clean, some, 0)[0]).toMatchObject({
      percent: undefined,
      why: 'control-not-positive',
    });
    const [alone] = hendersonTilton(trial([60, 50], ['C', 'T']), trial([90, 8], ['C', 'T']), 0);
    near(alone.percent, 89.3333333333, 1e-9);
    expect(alone).toMatchObject({ low: undefined, why: 'no-residual-df' });
    expect(() => hendersonTilton(trial([60, 50], ['C', 'T']), some, 0)).toThrow('same plots');
  });
});
