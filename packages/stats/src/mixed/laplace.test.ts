import { describe, expect, it } from 'vitest';
import { factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { betaBinomialLikelihood } from './beta-binomial-likelihood';
import { binomialLikelihood } from './binomial-likelihood';
import { gaussHermite } from './gauss-hermite';
import type { GroupTerm } from './groups';
import { mixedObjective, type MixedModel } from './laplace';
import type { Likelihood } from './likelihood';
import { ordinalLikelihood } from './ordinal-likelihood';

const tol = { sameFormula: 1e-8, difference: 2e-6, integrated: 1e-8 };

const term = (rows: Parameters<typeof factorOf>[0], name: string): GroupTerm => {
  const f = factorOf(rows, name);
  return { name, codes: Int32Array.from(f.codes), size: f.levels.length };
};

const leaf = readTable('leaf_4x4x6');
const treatment = factorOf(leaf, 'trt');
const withIntercept = Float64Array.from(
  leaf.flatMap((_, i) => [1, 1, 2, 3].map((l, j) => Number(j === 0 || treatment.codes[i] === l))),
);
const leafCounts = binomialLikelihood(numbersOf(leaf, 'diseased'), numbersOf(leaf, 'leaves'));
const leafModel = (names: string[]): MixedModel => ({
  likelihood: leafCounts,
  design: withIntercept,
  columns: 4,
  terms: names.map((n) => term(leaf, n)),
});

/** Largest disagreement of the gradient with central differences, relative to its size. */
const gradientError = (model: MixedModel, point: number[]): number => {
  const f = mixedObjective(model);
  const at = Float64Array.from(point);
  const gradient = new Float64Array(point.length);
  f.evaluate(at, gradient);
  return Math.max(
    ...point.map((v, j) => {
      const step = 1e-4;
      const value = (x: number) => f.evaluate(at.map((w, i) => (i === j ? x : w)));
      const slope =
        (8 * (value(v + step) - value(v - step)) - (value(v + 2 * step) - value(v - 2 * step))) /
        (12 * step);
      return Math.abs(slope - gradient[j]) / (1 + Math.abs(slope));
    }),
  );
};

describe('the objective, apart from the optimiser', () => {
  const r = readAnswers('mixed') as Record<
    'leaf_at' | 'leaf_at_zero_plot',
    { plant_plot_block: number[]; beta: number[]; logLik: number }
  >;

  it.each(['leaf_at', 'leaf_at_zero_plot'] as const)(
    'is the log-likelihood of lme4::glmer at fixed parameters (%s)',
    (name) => {
      const { plant_plot_block, beta, logLik } = r[name];
      const f = mixedObjective(leafModel(['plant', 'plot', 'block']));
      const value = f.evaluate(Float64Array.from([...plant_plot_block, ...beta]));
      expect(Math.abs(value - logLik)).toBeLessThan(tol.sameFormula);
    },
  );

  it('does not depend on the order in which the groupings are named, nor on a sign', () => {
    const a = mixedObjective(leafModel(['plant', 'plot', 'block']));
    const b = mixedObjective(leafModel(['block', 'plant', 'plot']));
    const beta = [-0.4, -1, -1.5, -0.3];
    const one = a.evaluate(Float64Array.from([0.6, 0.3, 0.2, ...beta]));
    const other = b.evaluate(Float64Array.from([0.2, -0.6, 0.3, ...beta]));
    expect(Math.abs(one - other)).toBeLessThan(1e-10);
  });

  it('with all standard deviations zero is the ordinary binomial log-likelihood', () => {
    const beta = [-0.4, -1, -1.5, -0.3];
    const mixed = mixedObjective(leafModel(['plant', 'plot', 'block']));
    const plain = mixedObjective(leafModel([]));
    const one = mixed.evaluate(Float64Array.from([0, 0, 0, ...beta]));
    expect(Math.abs(one - plain.evaluate(Float64Array.from(beta)))).toBeLessThan(1e-10);
  });
});

const ordinal = readTable('ordinal_4x5x5');
const grades = numbersOf(ordinal, 'score');
const trtOrdinal = factorOf(ordinal, 'trt');
const slopes = Float64Array.from(
  ordinal.flatMap((_, i) => [1, 2, 3].map((l) => Number(trtOrdinal.codes[i] === l))),
);

describe('the analytic gradient against differences', () => {
  const leafPoint = [0.5, 0.3, 0.4, -0.4, -1, -1.5, -0.3];

  it('binomial, three nested groupings', () => {
    expect(gradientError(leafModel(['plant', 'plot', 'block']), leafPoint)).toBeLessThan(
      tol.difference,
    );
  });

  it('binomial, crossed groupings (fill in the factor)', () => {
    const grapes = readTable('hughes.grapes');
    const trt = factorOf(grapes, 'trt');
    const model: MixedModel = {
      likelihood: binomialLikelihood(numbersOf(grapes, 'diseased'), numbersOf(grapes, 'total')),
      design: Float64Array.from(
        grapes.flatMap((_, i) => [0, 1, 2].map((l) => Number(l === 0 || trt.codes[i] === l))),
      ),
      columns: 3,
      terms: ['trt', 'shoot', 'vine', 'block'].map((n) => term(grapes, n)),
    };
    expect(gradientError(model, [0.8, 0.2, 0.3, 0.4, -2, 0.1, -0.5])).toBeLessThan(tol.difference);
  });

  it.each([2, 5, 11])('binomial, adaptive quadrature with %i points', (points) => {
    const model = { ...leafModel(['plot']), rule: gaussHermite(points) };
    expect(gradientError(model, [0.7, -0.4, -1, -1.5, -0.3])).toBeLessThan(tol.difference);
  });

  it('beta-binomial, nested groupings', () => {
    const likelihood = betaBinomialLikelihood(
      numbersOf(leaf, 'diseased'),
      numbersOf(leaf, 'leaves'),
    );
    const model = { ...leafModel(['block', 'plot']), likelihood };
    expect(gradientError(model, [0.5, 0.3, 0.25, -0.4, -1, -1.5, -0.3])).toBeLessThan(
      tol.difference,
    );
  });

  it.each([undefined, 7])('ordinal, quadrature points %s', (points) => {
    const model: MixedModel = {
      likelihood: ordinalLikelihood(grades, 6),
      design: slopes,
      columns: 3,
      terms: (points ? ['plot'] : ['plot', 'block']).map((n) => term(ordinal, n)),
      rule: points ? gaussHermite(points) : undefined,
    };
    const sd = points ? [0.7] : [0.5, 0.4];
    const point = [...sd, -1.9, -0.6, 0.2, 0.9, 2, -0.7, -2, -0.4];
    expect(gradientError(model, point)).toBeLessThan(tol.difference);
  });
});

describe('quadrature against plain integration', () => {
  it('agrees with a fine trapezium over each plot (two roads to the marginal likelihood)', () => {
    const sd = 0.9;
    const beta = [-0.4, -1, -1.5, -0.3];
    const plots = factorOf(leaf, 'plot');
    let byTrapezium = 0;
    for (let g = 0; g < plots.levels.length; g++) {
      const rows = leaf.flatMap((_, i) => (plots.codes[i] === g ? [i] : []));
      const part: Likelihood = binomialLikelihood(
        rows.map((i) => Number(leaf[i].diseased)),
        rows.map((i) => Number(leaf[i].leaves)),
      );
      const fixed = rows.map((i) =>
        beta.reduce((sum, b, j) => sum + b * withIntercept[i * 4 + j], 0),
      );
      const none = { value: 0, first: 0, second: 0, third: 0 };
      const curves = Object.fromEntries(
        Object.keys(none).map((k) => [k, new Float64Array(rows.length)]),
      ) as Record<keyof typeof none, Float64Array>;
      let sum = 0;
      const step = 0.005;
      for (let u = -9; u <= 9; u += step) {
        const eta = Float64Array.from(fixed, (v) => v + sd * u);
        sum += Math.exp(part.evaluate(eta, new Float64Array(0), curves) - (u * u) / 2) * step;
      }
      byTrapezium += Math.log(sum / Math.sqrt(2 * Math.PI));
    }
    const f = mixedObjective({ ...leafModel(['plot']), rule: gaussHermite(40) });
    const value = f.evaluate(Float64Array.from([sd, ...beta]));
    expect(Math.abs(value - byTrapezium)).toBeLessThan(tol.integrated);
  });

  it('with one point is the Laplace approximation', () => {
    const at = Float64Array.from([0.7, -0.4, -1, -1.5, -0.3]);
    const laplace = mixedObjective(leafModel(['plot'])).evaluate(at);
    const one = mixedObjective({ ...leafModel(['plot']), rule: gaussHermite(1) }).evaluate(at);
    expect(Math.abs(one - laplace)).toBeLessThan(1e-10);
  });

  it('refuses more than one grouping', () => {
    const model = { ...leafModel(['plot', 'block']), rule: gaussHermite(5) };
    expect(() => mixedObjective(model)).toThrow(/one grouping/);
  });
});
