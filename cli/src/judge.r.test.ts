// `fairbed judge` against R 4.2.2 (packages/stats/oracle): the cases whose inputs are scores files.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  inRepository,
  judgedFile,
  named,
  near,
  oracleInput,
  outcomeOf,
  tol,
} from '../test/judging';

// eslint-disable-next-line @typescript-eslint/no-explicit-any -- R's answers, each of its own shape
const answers = (name: string): any =>
  JSON.parse(readFileSync(inRepository(`packages/stats/oracle/${name}.json`), 'utf8')).expected;

describe.each(['rcbd_4x4', 'rcbd_6x5', 'rcbd_4x4_missing', 'rcbd_6x5_missing'])(
  'randomised blocks %s',
  (name) => {
    const want = answers(`a_${name}`);
    const got = judgedFile(oracleInput(name), {
      treatment: 'trt',
      block: 'block',
      value: 'y',
      control: 'A',
      outcome: 'value-last',
    });
    const outcome = outcomeOf(got, 'value-last');

    it('analysis of variance, treatments adjusted for blocks', () => {
      expect(got.design.kind).toBe('randomised-blocks');
      for (const [i, row] of want.anova.entries()) {
        const mine = outcome.anova!.rows[i];
        expect(mine.df).toBe(row.df);
        near(mine.ss, row.ss, tol.closedForm);
        if (row.F !== null) near(mine.f, row.F, tol.closedForm);
        if (row.p !== null) near(mine.p, row.p, tol.closedForm);
      }
      near(outcome.anova!.residualSd, want.sigma, tol.closedForm);
    });

    it('least-squares means', () => {
      for (const row of want.lsmeans) {
        const mine = named(outcome.treatments, row.trt);
        near(mine.mean, row.emmean, tol.closedForm);
        near(mine.se, row.SE, tol.closedForm);
        near(mine.low, row['lower.CL'], tol.closedForm);
        near(mine.high, row['upper.CL'], tol.closedForm);
      }
    });

    it('Dunnett against A', () => {
      const { table, p_quadrature, p_pmvt } = want.dunnett;
      for (const [i, row] of table.entries()) {
        const mine = named(outcome.versusControl, row.contrast.split(' - ')[0]);
        near(mine.difference, row.estimate, tol.closedForm);
        near(mine.se, row.SE, tol.closedForm);
        if (p_quadrature) near(mine.p, p_quadrature[i], tol.dunnettQuadrature);
        near(mine.p, p_pmvt[i], tol.dunnettSimulated);
      }
    });

    it('Tukey for all pairs', () => {
      for (const row of want.tukey_emmeans) {
        const [a, b] = row.contrast.split(' - ');
        const mine = outcome.allPairs!.find(
          (p) => (p.a === a && p.b === b) || (p.a === b && p.b === a),
        )!;
        const sign = mine.a === a ? 1 : -1;
        near(sign * mine.difference, row.estimate, tol.closedForm);
        near(mine.p, row['p.value'], tol.tukeyP);
        const [low, high] = sign > 0 ? [mine.low, mine.high] : [-mine.high!, -mine.low!];
        near(low, row['lower.CL'], tol.tukeyLimit);
        near(high, row['upper.CL'], tol.tukeyLimit);
      }
    });
  },
);

describe('the test of the drawn layout', () => {
  const flags = {
    treatment: 'trt',
    block: 'block',
    value: 'y',
    control: 'A',
    outcome: 'value-last',
  } as const;

  it('4 x 4: 125 of 13,824 with one block fixed, 331,776 layouts in all', () => {
    const want = answers('c_perm_rcbd_4x4');
    const got = judgedFile(oracleInput('rcbd_4x4'), flags);
    expect(got.design.layouts).toBe('331776');
    near(got.design.smallestP, 24 / 331776, tol.closedForm);
    const exact = outcomeOf(got, 'value-last').exact!;
    expect(exact).toMatchObject({ enumerated: true, layouts: '331776' });
    expect(exact.p).toBe(want.exact_p);
  });

  it('6 x 5: within the error of two simulations of a million', () => {
    const { mc1e6_p: p } = answers('c_perm_rcbd_6x5');
    const exact = outcomeOf(judgedFile(oracleInput('rcbd_6x5'), flags), 'value-last').exact!;
    expect(exact.enumerated).toBe(false);
    near(exact.p, p, { abs: 8 * Math.sqrt((p * (1 - p)) / 1e6) });
  });
});

describe.each(['leaf_4x4x6', 'leaf_4x4x6_rare'])('binomial mixed model %s', (name) => {
  const want = answers(`b_${name}`);
  const { counts } = judgedFile(oracleInput(name), {
    treatment: 'trt',
    block: 'block',
    plot: 'plot',
    plant: 'plant',
    diseased: 'diseased',
    leaves: 'leaves',
    control: 'A',
  });
  const R = want.laplace_block_plot_plant;

  it('log-likelihood at least as high as glmer’s, same estimates', () => {
    expect(counts!.logLik).toBeGreaterThanOrEqual(R.logLik - 1e-6);
    near(counts!.logLik, R.logLik, tol.logLik);
    for (const { name: term, estimate, se } of counts!.fixed) {
      const key = term === '(Intercept)' ? term : `trt${term}`;
      near(estimate, R.fixef[key], tol.optimised);
      near(se, R.se[key], tol.standardError);
    }
    for (const group of ['block', 'plot', 'plant']) near(counts!.sd[group], R.sd[group], tol.sd);
  });

  it('probabilities and the plain likelihood ratio', () => {
    for (const row of want.emmeans.response) {
      const mine = named(counts!.treatments, row.trt);
      near(mine.probability, row.prob, tol.optimised);
      near(mine.low, row['asymp.LCL'], tol.optimised);
      near(mine.high, row['asymp.UCL'], tol.optimised);
    }
    near(counts!.likelihoodRatio!.statistic, want.lrt_trt.chisq, tol.optimised);
    near(counts!.likelihoodRatio!.p, want.lrt_trt.p, tol.optimised);
  });
});

it('beta-binomial with random block and plot, as glmmTMB fits it', () => {
  const R = answers('b_leaf_4x4x6').betabinomial_TMB;
  const { betaBinomial } = judgedFile(oracleInput('leaf_4x4x6'), {
    treatment: 'trt',
    block: 'block',
    plot: 'plot',
    plant: 'plant',
    diseased: 'diseased',
    leaves: 'leaves',
    control: 'A',
  }).counts!;
  near(betaBinomial!.logLik, R.logLik, tol.logLik);
  near(betaBinomial!.precision, R.sigma, tol.optimised);
  near(named(betaBinomial!.fixed, 'B').estimate, R.fixef.trtB, tol.optimised);
});

it('cumulative logit mixed model with random block and plot, as clmm fits it', () => {
  const R = answers('e_clmm_ordinal').block_plot;
  const { ordinal } = judgedFile(oracleInput('ordinal_4x5x5'), {
    treatment: 'trt',
    block: 'block',
    plot: 'plot',
    plant: 'plant',
    grade: 'score',
    grades: [0, 1, 2, 3, 4, 5],
    control: 'A',
  });
  near(ordinal!.logLik, R.logLik, tol.logLik);
  for (const [k, threshold] of ordinal!.thresholds.entries()) {
    near(threshold, R.coef[`${k}|${k + 1}`], { rel: 1e-4, abs: 1e-4 });
  }
  for (const { name, estimate, se } of ordinal!.fixed) {
    near(estimate, R.coef[`trt${name}`], { rel: 1e-4, abs: 1e-4 });
    near(se, R.se[`trt${name}`], { rel: 1e-4, abs: 1e-4 });
  }
  near(ordinal!.sd['plot'], R.sd.plot, { rel: 1e-4, abs: 1e-4 });
});

it('days to an event: log-rank and medians', () => {
  const R = answers('g_surv_blocks');
  const { time } = judgedFile(oracleInput('survival_3x4x8'), {
    treatment: 'trt',
    block: 'block',
    days: 'time',
    happened: 'status',
    control: 'A',
  });
  near(time!.logRank.statistic, R.logrank.chisq, { rel: 1e-7, abs: 1e-9 });
  near(time!.logRank.p, R.logrank.p, { rel: 1e-7, abs: 1e-9 });
  for (const { strata, median, lo, hi } of R.medians) {
    const mine = named(time!.median, strata.replace('trt=', ''));
    expect(mine.days).toBe(median);
    expect(mine.low).toBe(lo);
    expect(mine.high).toBe(hi);
  }
});

it('analysis of covariance with a value before treatment', () => {
  const R = answers('j_ancova');
  const outcome = outcomeOf(
    judgedFile(oracleInput('ancova_4x5'), {
      treatment: 'trt',
      block: 'block',
      value: 'y',
      baselineValue: 'base',
      control: 'A',
    }),
    'value-last',
  );
  const adjusted = outcome.baselineAdjusted!;
  near(adjusted.slope, R.coef.base, tol.closedForm);
  for (const row of R.adj_means) {
    const mine = named(adjusted.treatments, row.trt);
    near(mine.mean, row.emmean, tol.closedForm);
    near(mine.se, row.SE, tol.closedForm);
  }
  for (const mine of adjusted.versusControl) {
    near(mine.difference, R.coef[`trt${mine.name}`], tol.closedForm);
    near(mine.se, R.se[`trt${mine.name}`], tol.closedForm);
  }
});
