import { describe, expect, it } from 'vitest';
import { betaBinomialDensity } from '../distributions/counts';
import { betaBinomialLikelihood } from './beta-binomial-likelihood';
import { binomialLikelihood } from './binomial-likelihood';
import { emptyCurves, type Likelihood } from './likelihood';
import { ordinalLikelihood } from './ordinal-likelihood';

const tol = { difference: 1e-7, closedForm: 1e-12 };

const cases: [string, Likelihood, number[]][] = [
  ['binomial', binomialLikelihood([0, 3, 7, 12], [5, 9, 7, 40]), []],
  ['beta-binomial', betaBinomialLikelihood([0, 3, 7, 12], [5, 9, 7, 40]), [0.4]],
  ['ordinal', ordinalLikelihood([0, 1, 2, 3], 4), [-1.2, 0.3, 1.1]],
  ['ordinal, weighted', ordinalLikelihood([0, 3, 3, 0], 4, [0.5, 0.5, 2, 1]), [-1.2, 0.3, 1.1]],
];
const eta = Float64Array.from([-2.5, 0.4, 1.3, -0.2]);
const h = 1e-5;

describe.each(cases)('%s', (_name, likelihood, shape) => {
  const at = (shift: number, shapeMoved = shape) => {
    const curves = emptyCurves(4);
    const sum = likelihood.evaluate(
      eta.map((v) => v + shift),
      Float64Array.from(shapeMoved),
      curves,
    );
    return { ...curves, sum };
  };

  it('each derivative is the slope of the one before', () => {
    const here = at(0);
    const orders = ['value', 'first', 'second', 'third'] as const;
    for (let k = 1; k < 4; k++) {
      const up = at(h)[orders[k - 1]];
      const down = at(-h)[orders[k - 1]];
      for (let i = 0; i < 4; i++) {
        const slope = (up[i] - down[i]) / (2 * h);
        expect(Math.abs(slope - here[orders[k]][i])).toBeLessThan(tol.difference);
      }
    }
  });

  it('the total is the sum of the rows', () => {
    const here = at(0);
    expect(here.sum).toBeCloseTo(
      here.value.reduce((a, b) => a + b, 0),
      12,
    );
  });

  it('moves with its shape as the shape gradient says', () => {
    const weights = {
      value: Float64Array.from([1, 0.3, 2, 1]),
      first: Float64Array.from([0.2, -1, 0.5, 1.5]),
      second: Float64Array.from([-0.7, 0.4, 0.1, 1]),
    };
    const gradient = new Float64Array(shape.length);
    likelihood.addShapeGradient(eta, Float64Array.from(shape), weights, gradient);
    const weighted = (moved: number[]) => {
      const c = at(0, moved);
      let sum = 0;
      for (let i = 0; i < 4; i++) {
        sum +=
          weights.value[i] * c.value[i] +
          weights.first[i] * c.first[i] +
          weights.second[i] * c.second[i];
      }
      return sum;
    };
    shape.forEach((v, k) => {
      const up = shape.map((w, j) => (j === k ? v + h : w));
      const down = shape.map((w, j) => (j === k ? v - h : w));
      const slope = (weighted(up) - weighted(down)) / (2 * h);
      expect(Math.abs(slope - gradient[k])).toBeLessThan(tol.difference);
    });
  });
});

it('the beta-binomial is the density with alpha = m phi, beta = (1 - m) phi', () => {
  const curves = emptyCurves(1);
  const root = 0.4;
  betaBinomialLikelihood([3], [9]).evaluate(Float64Array.of(0.4), Float64Array.of(root), curves);
  const m = 1 / (1 + Math.exp(-0.4));
  const phi = root ** -2;
  const density = betaBinomialDensity(3, 9, m * phi, (1 - m) * phi);
  expect(Math.abs(curves.value[0] - Math.log(density))).toBeLessThan(tol.closedForm);
});

it('the beta-binomial without overdispersion is the binomial', () => {
  const a = emptyCurves(4);
  const b = emptyCurves(4);
  betaBinomialLikelihood([0, 3, 7, 12], [5, 9, 7, 40]).evaluate(eta, Float64Array.of(0), a);
  binomialLikelihood([0, 3, 7, 12], [5, 9, 7, 40]).evaluate(eta, new Float64Array(0), b);
  for (const k of ['value', 'first', 'second', 'third'] as const) {
    for (let i = 0; i < 4; i++) expect(Math.abs(a[k][i] - b[k][i])).toBeLessThan(1e-11);
  }
});

it('the probabilities of the ordered classes sum to one', () => {
  const curves = emptyCurves(4);
  const x = Float64Array.of(0.7, 0.7, 0.7, 0.7);
  ordinalLikelihood([0, 1, 2, 3], 4).evaluate(x, Float64Array.of(-1.2, 0.3, 1.1), curves);
  const total = curves.value.reduce((sum, v) => sum + Math.exp(v), 0);
  expect(Math.abs(total - 1)).toBeLessThan(tol.closedForm);
});

it('thresholds out of order are impossible', () => {
  const curves = emptyCurves(1);
  const likelihood = ordinalLikelihood([1], 3);
  expect(likelihood.evaluate(Float64Array.of(0), Float64Array.of(1, 0.5), curves)).toBe(-Infinity);
});
