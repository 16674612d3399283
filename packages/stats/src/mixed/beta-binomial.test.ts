import { describe, expect, it } from 'vitest';
import { factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { type BetaBinomialFit, fitBetaBinomial } from './beta-binomial';
import { fitBinomialMixed } from './binomial-mixed';
import { plainLikelihoodRatio } from './likelihood-ratio';
import { leastSquaresProbabilities, probabilityContrasts } from './probabilities';

const tol = { optimised: 2e-4, logLik: 1e-5, theta: 1e-3, se: 2e-3, printed: 5e-5 };
const NOT_LOWER = 1e-6;

type Named = Record<string, number>;
type Tmb = { logLik: number; fixef: Named; se: Named; sd: Named; sigma: number };

const within = (x: number | undefined, e: number, rel: number, abs: number) => {
  expect(x).toBeDefined();
  expect(Math.abs(x! - e)).toBeLessThanOrEqual(Math.max(abs, rel * Math.abs(e)));
};

const compare = (fit: BetaBinomialFit, r: { logLik: number; fixef: Named; se: Named }) => {
  expect(fit.how.converged).toBe(true);
  within(fit.logLik, r.logLik, 0, tol.logLik);
  expect(fit.logLik).toBeGreaterThan(r.logLik - NOT_LOWER);
  Object.values(r.fixef).forEach((b, j) => {
    within(fit.fixed[j].estimate, b, tol.optimised, tol.optimised);
    within(fit.fixed[j].se, Object.values(r.se)[j], tol.se, 0);
  });
};

// glmmTMB 1.1.5 under R 4.2.2; oracle/R/cases_b.R.
describe('leaves of 30 plots, overdispersed', () => {
  const rows = readTable('betabin_5x6');
  const r = readAnswers('b_betabin_5x6') as {
    random_block: Tmb;
    fixed_block: { logLik: number; fixef: Named; se: Named; phi: number };
    lrt_trt: { chisq: number; p: number };
    emmeans: {
      response: { prob: number; SE: number; 'lower.CL': number; 'upper.CL': number }[];
      odds_ratios: { 'odds.ratio': number; SE: number; 't.ratio': number }[];
      risk_difference: { estimate: number; SE: number }[];
    };
  };
  const counts = { successes: numbersOf(rows, 'diseased'), trials: numbersOf(rows, 'leaves') };
  const trt = factorOf(rows, 'trt');
  const block = factorOf(rows, 'block');
  const random = fitBetaBinomial({ ...counts, fixed: { factors: [trt] }, random: [block] });

  it('fixed blocks', () => {
    const fit = fitBetaBinomial({ ...counts, fixed: { factors: [trt, block] } });
    compare(fit, r.fixed_block);
    within(fit.precision, r.fixed_block.phi, tol.optimised, tol.optimised);
    expect(fit.fixed.map((c) => c.name).slice(0, 6)).toEqual([
      '(Intercept)',
      'B',
      'C',
      'D',
      'E',
      'block B2',
    ]);
  });

  it('random blocks', () => {
    compare(random, r.random_block);
    within(random.groups[0].sd, r.random_block.sd.block, 0, tol.theta);
    within(random.precision, r.random_block.sigma, tol.optimised, tol.optimised);
  });

  it('plain likelihood ratio', () => {
    const lr = plainLikelihoodRatio(random)!;
    within(lr.statistic, r.lrt_trt.chisq, tol.optimised, tol.optimised);
    within(lr.plainP, r.lrt_trt.p, tol.optimised, tol.optimised);
  });

  it('least-squares probabilities, Student t on 23 degrees of freedom, and contrasts', () => {
    const levels = leastSquaresProbabilities(random, { df: 23 })!;
    r.emmeans.response.forEach((e, i) => {
      within(levels[i].probability, e.prob, tol.optimised, tol.optimised);
      within(levels[i].probabilitySe, e.SE, tol.se, tol.optimised);
      within(levels[i].low, e['lower.CL'], tol.se, tol.optimised);
      within(levels[i].high, e['upper.CL'], tol.se, tol.optimised);
    });
    const pairs = probabilityContrasts(random)!;
    r.emmeans.odds_ratios.forEach((e, i) => {
      within(Math.exp(pairs[i].logOddsRatio), e['odds.ratio'], tol.optimised, tol.optimised);
      within(pairs[i].logOddsRatio / pairs[i].se, e['t.ratio'], tol.se, tol.optimised);
    });
    r.emmeans.risk_difference.forEach((e, i) => {
      within(pairs[i].difference, e.estimate, tol.optimised, tol.optimised);
      within(pairs[i].differenceSe, e.SE, tol.se, tol.optimised);
    });
  });
});

it('leaves of 96 plants, block and plot random (glmmTMB)', () => {
  const rows = readTable('leaf_4x4x6');
  const { betabinomial_TMB: r } = readAnswers('b_leaf_4x4x6') as { betabinomial_TMB: Tmb };
  const fit = fitBetaBinomial({
    successes: numbersOf(rows, 'diseased'),
    trials: numbersOf(rows, 'leaves'),
    fixed: { factors: [factorOf(rows, 'trt')] },
    random: [factorOf(rows, 'block'), factorOf(rows, 'plot')],
  });
  compare(fit, r);
  within(fit.groups[0].sd, r.sd.block, 0, tol.theta);
  within(fit.groups[1].sd, r.sd.plot, 0, tol.theta);
  within(fit.precision, r.sigma, 1e-3, 0);
});

it('herds (cbpp): the herd variance is zero beside overdispersion', () => {
  const rows = readTable('cbpp');
  const { betabinomial: r } = readAnswers('b_cbpp') as { betabinomial: Tmb };
  const fit = fitBetaBinomial({
    successes: numbersOf(rows, 'incidence'),
    trials: numbersOf(rows, 'size'),
    fixed: { factors: [factorOf(rows, 'period')] },
    random: [factorOf(rows, 'herd')],
  });
  compare(fit, r);
  expect(r.sd.herd).toBeLessThan(tol.theta);
  expect(fit.groups[0].sd).toBe(0);
  within(fit.precision, r.sigma, 1e-3, 0);
});

it('seeds (Crowder 1978): coefficients, correlation and log-likelihood as printed', () => {
  const rows = readTable('crowder.seeds');
  const matrix = rows.flatMap((row) => {
    const late = Number(row.gen === 'O73');
    const cucumber = Number(row.extract === 'cucumber');
    return [1, late, cucumber, late * cucumber];
  });
  const fit = fitBetaBinomial({
    successes: numbersOf(rows, 'germ'),
    trials: numbersOf(rows, 'n'),
    fixed: { columns: ['1', 'O73', 'cucumber', 'both'], matrix },
  });
  [-0.542, 0.0974, 1.3201, -0.7979].forEach((b, j) => {
    within(fit.fixed[j].estimate, b, 0, tol.printed);
  });
  within(fit.correlation, 0.01236, 0, 5e-6);
  within(fit.logLik, -53.7668, 0, tol.printed);
});

it('counts with less than binomial spread give no precision, and the ordinary logit model', () => {
  const rows = readTable('leaf_4x4x6_rare');
  const counts = { successes: numbersOf(rows, 'diseased'), trials: numbersOf(rows, 'leaves') };
  const fixed = { factors: [factorOf(rows, 'trt')] };
  // glmmTMB ran to a precision of 4e7 here, on the way to infinity.
  const fit = fitBetaBinomial({
    ...counts,
    fixed,
    random: [factorOf(rows, 'block'), factorOf(rows, 'plot')],
  });
  const plain = fitBinomialMixed({ ...counts, fixed, random: [] });
  expect(fit.how.atBound).toContain('block');
  if (fit.precision === undefined) {
    expect(fit.logLik).toBeCloseTo(plain.logLik, 8);
    expect(fit.how.atBound).toContain('overdispersion');
  }
  expect(fit.logLik).toBeGreaterThan(plain.logLik - 1e-9);
});
