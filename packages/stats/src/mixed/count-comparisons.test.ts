import { describe, expect, it } from 'vitest';
import { factorOf, numbersOf, readTable } from '../../oracle/read';
import { fUpper } from '../distributions/fisher';
import { tTwoSided } from '../distributions/student';
import { fitBinomialMixed } from './binomial-mixed';
import { countsVersusControl, countsWald, populationProbabilities } from './count-comparisons';
import { logistic } from './likelihood';
import { leastSquaresProbabilities, probabilityContrasts } from './probabilities';

const tol = { closedForm: 1e-10, quadrature: 1e-8, slope: 1e-5 };
const rows = readTable('leaf_4x4x6');
const degrees = { plots: 16, error: 9, above: ['block'] };

const fitOf = (some: typeof rows, groups = ['block', 'plot', 'plant']) =>
  fitBinomialMixed({
    successes: numbersOf(some, 'diseased'),
    trials: numbersOf(some, 'leaves'),
    fixed: { factors: [factorOf(some, 'trt')] },
    random: groups.map((g) => factorOf(some, g)),
  });
const fit = fitOf(rows);

const close = (a: number, b: number, abs: number) =>
  expect(Math.abs(a - b)).toBeLessThanOrEqual(abs);

describe('treatments against the control', () => {
  const found = countsVersusControl(fit, degrees)!;

  it('estimates are the fit’s, standard errors are widened by sqrt(12 / 9)', () => {
    close(found.widened, Math.sqrt(12 / 9), tol.closedForm);
    found.comparisons.forEach((one, i) => {
      expect(one.name).toBe(fit.fixed[i + 1].name);
      expect(one.estimate).toBe(fit.fixed[i + 1].estimate);
      close(one.se, fit.fixed[i + 1].se! * found.widened, tol.closedForm);
    });
    expect(found.df).toBe(9);
  });

  it('differences of probability are those pair by pair, their limits of the same width in t', () => {
    const pairs = probabilityContrasts(fit)!;
    for (const one of found.comparisons) {
      const pair = pairs.find(({ a, b }) => a === 'A' && b === one.name)!;
      close(one.difference, -pair.difference, tol.closedForm);
      const reach = (one.high - one.estimate) / one.se;
      const half = reach * pair.differenceSe * found.widened;
      close(one.differenceHigh - one.difference, half, tol.closedForm);
      close(one.difference - one.differenceLow, half, tol.closedForm);
    }
  });

  it('with one treatment beside the control it is t, and its square the Wald test', () => {
    const two = fitOf(rows.filter(({ trt }) => trt === 'A' || trt === 'B'));
    const few = { plots: 8, error: 3, above: ['block'] };
    const [one] = countsVersusControl(two, few)!.comparisons;
    close(one.p, tTwoSided(one.estimate / one.se, 3), tol.quadrature);
    const wald = countsWald(two, few)!;
    close(wald.f, (one.estimate / one.se) ** 2, tol.closedForm * wald.f);
    close(wald.p, one.p, tol.quadrature);
  });

  it('the joint Wald test does not depend on the reference', () => {
    const wald = countsWald(fit, degrees)!;
    const again = countsWald(
      fitBinomialMixed({
        ...fit.input,
        fixed: { factors: [{ ...factorOf(rows, 'trt'), reference: 'C' }] },
      }),
      degrees,
    )!;
    close(again.f, wald.f, tol.slope);
    expect([wald.df1, wald.df2]).toEqual([3, 9]);
    close(wald.p, fUpper(wald.f, 3, 9), tol.closedForm);
  });
});

describe('probabilities over all plots', () => {
  it('are the typical plot’s averaged over the normal spread (a fine trapezium)', () => {
    const sd = Math.sqrt(fit.groups.reduce((sum, g) => sum + g.sd ** 2, 0));
    const average = (logit: number) => {
      let sum = 0;
      for (let z = -10; z <= 10; z += 0.01) {
        sum += (0.01 * Math.exp((-z * z) / 2) * logistic(logit + sd * z)) / Math.sqrt(2 * Math.PI);
      }
      return sum;
    };
    const typical = leastSquaresProbabilities(fit)!;
    populationProbabilities(fit)!.forEach((one, i) => {
      close(one.probability, average(typical[i].logit), tol.quadrature);
      expect(one.low).toBeLessThan(one.probability);
      expect(one.high).toBeGreaterThan(one.probability);
    });
  });

  it('are the typical plot’s where nothing varies', () => {
    const plain = fitOf(rows, []);
    const typical = leastSquaresProbabilities(plain)!;
    populationProbabilities(plain)!.forEach((one, i) => {
      close(one.probability, typical[i].probability, tol.quadrature);
      close(one.low, typical[i].low, tol.quadrature);
    });
  });
});

it('other designs than one factor are left alone', () => {
  const matrix = fitBinomialMixed({
    ...fit.input,
    fixed: { columns: ['1'], matrix: rows.map(() => 1) },
  });
  expect(countsVersusControl(matrix, degrees)).toBeUndefined();
  expect(countsWald(matrix, degrees)).toBeUndefined();
  expect(() => countsVersusControl(fit, { ...degrees, error: 0 })).toThrow(/error degrees/);
});
