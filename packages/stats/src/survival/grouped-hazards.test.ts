import { describe, expect, it } from 'vitest';
import { factorFrom, factorOf, readAnswers, readTable } from '../../oracle/read';
import { emptyCurves } from '../mixed/likelihood';
import { groupedHazardsLikelihood } from './grouped-hazards-likelihood';
import { fitGroupedHazards } from './grouped-hazards';

const tol = { logLik: 1e-8, optimised: 1e-6, se: 1e-4, quadrature: 1e-3, difference: 1e-7 };

type Fit = { logLik: number; coef: Record<string, number>; se: Record<string, number> };
const R = readAnswers('days') as {
  clm_cloglog: { logLik: number; coef: Record<string, number>; thresholds: number[] };
  clmm_block_plot: Fit & { sd: { block: number; plot: number } };
  glm_person_intervals: Fit;
  glm_person_intervals_blocks: Fit;
  glmer_plots: Fit & { sd: number };
};
// The stored discrete fit of another hand: glm with cloglog on 573 person-weeks.
const rows = readTable('survival_3x4x8');
const happened = rows.map(({ status }) => status === '1');
const between = {
  left: rows.map((row, i) => Number(happened[i] ? row.left : row.time) || -Infinity),
  right: rows.map((row, i) => (happened[i] ? Number(row.right) : Infinity)),
};
const trt = factorOf(rows, 'trt');
const block = factorOf(rows, 'block');
const plot = factorFrom(
  'plot',
  rows.map((row) => `${row.block} ${row.trt}`),
);
const near = (got: number | undefined, want: number, rel: number) =>
  expect(Math.abs(got! - want)).toBeLessThan(rel * Math.abs(want));

describe('proportional hazards between weekly looks', () => {
  it('without random effects: the cloglog model of person-weeks, glm and clm (R 4.2.2)', () => {
    const fit = fitGroupedHazards({ ...between, fixed: { factors: [trt] }, random: [] });
    expect(Math.abs(fit.logLik - R.glm_person_intervals.logLik)).toBeLessThan(tol.logLik);
    fit.fixed.forEach(({ name, estimate }) => {
      near(estimate, R.glm_person_intervals.coef[`trt${name}`], tol.optimised);
      near(estimate, -R.clm_cloglog.coef[`trt${name}`], tol.optimised);
    });
    fit.thresholds.forEach(({ estimate }, k) =>
      near(estimate, R.clm_cloglog.thresholds[k], tol.optimised),
    );
  });

  it('blocks as fixed effects', () => {
    const fit = fitGroupedHazards({ ...between, fixed: { factors: [trt, block] }, random: [] });
    expect(Math.abs(fit.logLik - R.glm_person_intervals_blocks.logLik)).toBeLessThan(tol.logLik);
    fit.fixed
      .slice(0, 2)
      .forEach(({ name, estimate }) =>
        near(estimate, R.glm_person_intervals_blocks.coef[`trt${name}`], tol.optimised),
      );
  });

  it('standard errors from the observed information, as clmm; glm takes the expected one', () => {
    // R's glm squares the weights' expectation, which differs for this link: 0.28727 against 0.28635.
    const fit = fitGroupedHazards({ ...between, fixed: { factors: [trt] }, random: [] });
    near(fit.fixed[0].se, 0.28634759, tol.se);
    near(fit.fixed[1].se, 0.32598466, tol.se);
  });

  it('random blocks and plots, Laplace, against clmm', () => {
    const fit = fitGroupedHazards({ ...between, fixed: { factors: [trt] }, random: [block, plot] });
    const want = R.clmm_block_plot;
    expect(fit.logLik).toBeGreaterThan(want.logLik - tol.logLik);
    expect(fit.logLik - want.logLik).toBeLessThan(1e-6);
    fit.fixed.forEach(({ name, estimate, se }) => {
      near(estimate, -want.coef[`trt${name}`], 1e-4);
      near(se, want.se[`trt${name}`], 1e-4);
    });
    near(fit.groups[0].sd, want.sd.block, 1e-3);
    near(fit.groups[1].sd, want.sd.plot, 1e-3);
  });

  it('random plots by quadrature, against glmer with 25 points', () => {
    const fit = fitGroupedHazards({
      ...between,
      fixed: { factors: [trt] },
      random: [plot],
      quadraturePoints: 25,
    });
    expect(Math.abs(fit.logLik - R.glmer_plots.logLik)).toBeLessThan(1e-4);
    fit.fixed.forEach(({ name, estimate }) =>
      near(estimate, R.glmer_plots.coef[`trt${name}`], tol.quadrature),
    );
    near(fit.groups[0].sd, R.glmer_plots.sd, tol.quadrature);
  });

  it('the order of rows and the name of the control change nothing but signs', () => {
    const turned = [...rows.keys()].reverse();
    const back = fitGroupedHazards({
      left: turned.map((i) => between.left[i]),
      right: turned.map((i) => between.right[i]),
      fixed: { factors: [{ ...trt, codes: turned.map((i) => trt.codes[i]), reference: 'C' }] },
      random: [{ ...block, codes: turned.map((i) => block.codes[i]) }],
    });
    const fit = fitGroupedHazards({ ...between, fixed: { factors: [trt] }, random: [block] });
    expect(back.logLik).toBeCloseTo(fit.logLik, 8);
    expect(back.fixed[0].estimate).toBeCloseTo(-fit.fixed[1].estimate, 6);
  });

  it('a treatment in which nothing happened: finite, penalised, said', () => {
    const none = Array.from(trt.codes, (code) => code === 2);
    const fit = fitGroupedHazards({
      left: between.left.map((l, i) => (none[i] ? 56 : l)),
      right: between.right.map((r, i) => (none[i] ? Infinity : r)),
      fixed: { factors: [trt] },
      random: [],
    });
    expect(fit.penalised?.code).toBe('separation');
    expect(fit.fixed[1].estimate).toBeLessThan(-2);
    expect(Math.abs(fit.fixed[1].estimate)).toBeLessThan(12);
  });

  it('refuses rows that may all have been at one time', () => {
    expect(() =>
      fitGroupedHazards({
        left: [0, 0],
        right: [7, 7],
        fixed: { factors: [factorFrom('trt', ['a', 'b'])] },
        random: [],
      }),
    ).toThrow('nothing to compare');
  });
});

describe('its likelihood', () => {
  const runs = { first: [0, 1, 2, 1, 3, 0], last: [0, 1, 3, 2, 3, 3] };
  const likelihood = groupedHazardsLikelihood(runs, 4, [1, 1, 2, 1, 0.5, 1]);
  const shape = [-1.7, -0.4, 0.6];
  const eta = Float64Array.from([-0.5, 0.3, 0.1, -1.2, 0.7, 0.2]);
  const h = 1e-5;
  const at = (shift: number, moved = shape) => {
    const curves = emptyCurves(6);
    likelihood.evaluate(
      eta.map((v) => v + shift),
      Float64Array.from(moved),
      curves,
    );
    return curves;
  };

  it('is the probability of the run of classes', () => {
    const s = (k: number, e: number) => (k < 0 ? 1 : k > 2 ? 0 : Math.exp(-Math.exp(shape[k] + e)));
    at(0).value.forEach((value, i) => {
      const p = s(runs.first[i] - 1, eta[i]) - s(runs.last[i], eta[i]);
      expect(value).toBeCloseTo([1, 1, 2, 1, 0.5, 1][i] * Math.log(p), 12);
    });
  });

  it('each derivative is the slope of the one before', () => {
    const orders = ['value', 'first', 'second', 'third'] as const;
    for (let k = 1; k < 4; k++) {
      const up = at(h)[orders[k - 1]];
      const down = at(-h)[orders[k - 1]];
      at(0)[orders[k]].forEach((want, i) =>
        expect(Math.abs((up[i] - down[i]) / (2 * h) - want)).toBeLessThan(tol.difference),
      );
    }
  });

  it('moves with its thresholds as the shape gradient says', () => {
    const weights = {
      value: Float64Array.from([1, 0.3, 2, 1, 0.4, 1]),
      first: Float64Array.from([0.2, -1, 0.5, 1.5, 2, 1]),
      second: Float64Array.from([-0.7, 0.4, 0.1, 1, -1, 1]),
    };
    const gradient = new Float64Array(3);
    likelihood.addShapeGradient(eta, Float64Array.from(shape), weights, gradient);
    const weighted = (moved: number[]) => {
      const c = at(0, moved);
      return c.value.reduce(
        (sum, v, i) =>
          sum +
          weights.value[i] * v +
          weights.first[i] * c.first[i] +
          weights.second[i] * c.second[i],
        0,
      );
    };
    gradient.forEach((want, k) => {
      const moved = (by: number) => weighted(shape.map((s, j) => (j === k ? s + by : s)));
      expect(Math.abs((moved(h) - moved(-h)) / (2 * h) - want)).toBeLessThan(tol.difference);
    });
  });

  it('thresholds out of order are impossible', () => {
    expect(likelihood.evaluate(eta, Float64Array.of(0, -1, 1), emptyCurves(6))).toBe(-Infinity);
  });
});
