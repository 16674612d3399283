import { tabulate, type Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { type OracleRow, oracleAnswers, oracleRows, plotsOnly } from '../gallery/oracle-trial';
import { countsOf, leavesMethod } from './counts';
import { layoutFor } from './layout';
import type { MethodInput } from './method-input';
import { plotTable } from './table';

// Tolerances of the stored case: estimates and probabilities, log-likelihood; se relative.
const tol = { optimised: 2e-4, logLik: 1e-5, se: 2e-3, same: 1e-6 };

const counted = (rows: readonly OracleRow[]): Trial => ({
  ...plotsOnly(rows),
  scores: rows.map(({ block, trt, plant, diseased, leaves }) => ({
    plot: `${block}${trt}`,
    plant,
    round: 'r',
    diseased: Number(diseased),
    standing: Number(leaves),
  })),
});

function inputOf(trial: Trial, control = 'A'): MethodInput {
  const table = plotTable(trial, control);
  const layout = layoutFor(trial, table);
  return { tally: tabulate(trial), table, layout, control, round: 'r', seed: 1 };
}

function counts(trial: Trial, draws?: number) {
  const found = countsOf(trial, 'r', 'A', { ...inputOf(trial), draws });
  if (!found.known) throw new Error(found.why);
  return found.value;
}

function leaves(trial: Trial, control = 'A') {
  const found = leavesMethod(inputOf(trial, control));
  if (!found.known) throw new Error(found.why);
  return found.value;
}

type Named = Record<string, number>;
type Case = {
  laplace_block_plot_plant: { logLik: number; fixef: Named; sd: Named };
  lrt_trt: { chisq: number; df: number; p: number };
  emmeans: { response: { trt: string; prob: number; 'asymp.LCL': number; 'asymp.UCL': number }[] };
};

const near = (x: number | null | undefined, expected: number, rel: number, abs: number) => {
  expect(x ?? NaN).toBeGreaterThanOrEqual(expected - Math.max(abs, rel * Math.abs(expected)));
  expect(x ?? NaN).toBeLessThanOrEqual(expected + Math.max(abs, rel * Math.abs(expected)));
};

// lme4 1.1-31 and emmeans 1.8.4 under R 4.2.2; stats/oracle/R/cases_b.R.
describe.each(['leaf_4x4x6', 'leaf_4x4x6_rare'])('counts of 96 plants, %s', (name) => {
  const R = oracleAnswers(`b_${name}`) as Case;
  const part = counts(counted(oracleRows(name)), 99);

  it('are R’s: log-likelihood, estimates, spread, probabilities', () => {
    near(part.logLik, R.laplace_block_plot_plant.logLik, 0, tol.logLik);
    for (const { name: at, estimate } of part.fixed) {
      const key = at === '(Intercept)' ? at : `trt${at}`;
      near(estimate, R.laplace_block_plot_plant.fixef[key], tol.optimised, tol.optimised);
    }
    for (const [group, sd] of Object.entries(R.laplace_block_plot_plant.sd)) {
      near(part.sd[group], sd, 0, 1e-3);
    }
    R.emmeans.response.forEach((e, i) => {
      const level = part.treatments[i];
      expect(level.name).toBe(e.trt);
      near(level.probability, e.prob, tol.optimised, tol.optimised);
      near(level.low, e['asymp.LCL'], tol.se, tol.optimised);
      near(level.high, e['asymp.UCL'], tol.se, tol.optimised);
    });
  });

  it('likelihood ratio: R’s statistic and plain p, and p for few plots, which is larger', () => {
    const lr = part.likelihoodRatio!;
    near(lr.statistic, R.lrt_trt.chisq, tol.optimised, tol.optimised);
    near(lr.p, R.lrt_trt.p, tol.optimised, tol.optimised);
    expect(lr.df).toBe(R.lrt_trt.df);
    expect(lr.caution).toContain('pCorrected');
    expect(lr.pCorrected).toBeGreaterThan(lr.p);
    expect(lr.draws).toBe(99);
    expect(lr.pBootstrap).toBeGreaterThanOrEqual(0.01);
    expect(lr.pBootstrap).toBeLessThan(0.1);
  });

  it('limits for few plots are wider; those over all plots lie nearer to one half', () => {
    for (const { probability, low, high, fewPlots, population } of part.treatments) {
      expect(fewPlots!.low).toBeLessThan(low!);
      expect(fewPlots!.high).toBeGreaterThan(high!);
      const pull = (p: number) => Math.abs(p - 0.5);
      expect(pull(population!.probability)).toBeLessThanOrEqual(pull(probability));
      expect(population!.low).toBeLessThan(population!.probability);
      expect(population!.high).toBeGreaterThan(population!.probability);
    }
  });

  it('treatments against the control: R’s odds, limits and p for all together', () => {
    for (const { name: at, ratio, low, high, p, points } of part.versusControl!) {
      const log = R.laplace_block_plot_plant.fixef[`trt${at}`];
      near(Math.log(ratio!), log, tol.optimised, tol.optimised);
      near(Math.log(low!) + Math.log(high!), 2 * log, tol.optimised, tol.optimised);
      expect(p).toBeGreaterThan(part.fixed.find((one) => one.name === at)!.p!);
      // The interval leaves out no effect exactly when p is below 0.05.
      expect(high! < 1 || low! > 1).toBe(p! < 0.05);
      const [a, b] = [part.treatments[0], part.treatments.find((t) => t.name === at)!];
      near(points.difference, 100 * (b.probability - a.probability), 0, tol.same);
    }
  });
});

it('leaves as a method: p is never the plain one, and is said in words', () => {
  const trial = counted(oracleRows('leaf_4x4x6'));
  const part = counts(trial, 0);
  const method = leaves(trial);
  expect(part.likelihoodRatio!.pBootstrap).toBeNull();
  expect(method.p).toBe(part.likelihoodRatio!.pCorrected);
  expect(method.says).toMatch(/^B and C had fewer diseased leaves than A: odds of a diseased leaf/);
  expect(method.versusControl.map(({ name, better }) => [name, better])).toEqual([
    ['B', true],
    ['C', true],
    ['D', true],
  ]);
});

it('neither names nor the order of rows and blocks change what is found', () => {
  const rows = oracleRows('leaf_4x4x6');
  const base = leaves(counted(rows));
  const names: Named = { A: 1, B: 2, C: 3, D: 4 };
  const renamed = rows
    .map((row) => ({ ...row, trt: `T${names[row.trt]}`, block: `x${row.block}` }))
    .reverse();
  const other = leaves(counted(renamed), 'T1');
  near(other.p, base.p!, tol.same, tol.same);
  for (const one of base.versusControl) {
    const twin = other.versusControl.find(({ name }) => name === `T${names[one.name]}`)!;
    near(twin.estimate, one.estimate!, tol.same, tol.same);
    near(twin.p, one.p!, 1e-4, tol.same);
  }
});

it('a treatment without any diseased leaf: finite, and the penalty is reported', () => {
  const trial = counted(
    oracleRows('leaf_4x4x6').map((row) => (row.trt === 'C' ? { ...row, diseased: '0' } : row)),
  );
  const part = counts(trial, 0);
  expect(part.penalty).toEqual({ code: 'separation', weight: 0.5, treatments: ['C'] });
  const c = leaves(trial).versusControl.find(({ name }) => name === 'C')!;
  expect(c.estimate).toBeGreaterThan(0);
  expect(Number.isFinite(c.high)).toBe(true);
});

it('whole plots all diseased or all healthy: no answer, and why', () => {
  const rows = oracleRows('leaf_4x4x6');
  const plots = [...new Set(rows.map(({ block, trt }) => `${block}${trt}`))];
  const trial = counted(
    rows.map((row) => {
      const ill = (plots.indexOf(`${row.block}${row.trt}`) * 7) % 16 < 8;
      return { ...row, diseased: ill ? row.leaves : '0' };
    }),
  );
  const found = leavesMethod(inputOf(trial));
  expect(found.known).toBe(false);
  if (!found.known) expect(found.why).toMatch(/all diseased or all healthy/);
});

it('overdispersion is told', () => {
  const { overdispersion } = counts(counted(oracleRows('leaf_4x4x6')), 0);
  expect(overdispersion!.ratio).toBeCloseTo(overdispersion!.chiSquare / overdispersion!.df, 12);
});
