import { describe, expect, it } from 'vitest';
import { factorFrom, factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { leastSquaresGrades } from './grade-probabilities';
import { plainLikelihoodRatio } from './likelihood-ratio';
import { fitOrdinalMixed, type OrdinalMixedFit } from './ordinal-mixed';

const tol = { optimised: 1e-4, logLik: 1e-5 };
const NOT_LOWER = 1e-6;

type Named = Record<string, number>;
type Clmm = { logLik: number; coef: Named; se: Named; sd?: Named };

const within = (x: number | undefined, e: number, size = tol.optimised) => {
  expect(x).toBeDefined();
  expect(Math.abs(x! - e)).toBeLessThanOrEqual(Math.max(size, size * Math.abs(e)));
};

const compare = (fit: OrdinalMixedFit, r: Clmm) => {
  expect(fit.how.converged).toBe(true);
  expect(Math.abs(fit.logLik - r.logLik)).toBeLessThan(tol.logLik);
  expect(fit.logLik).toBeGreaterThan(r.logLik - NOT_LOWER);
  [...fit.thresholds, ...fit.fixed].forEach((c, j) => {
    within(c.estimate, Object.values(r.coef)[j]);
    within(c.se, Object.values(r.se)[j]);
  });
  for (const [name, sd] of Object.entries(r.sd ?? {})) {
    within(fit.groups.find((g) => g.name === name)?.sd, sd);
  }
};

// ordinal 2022.11-16, emmeans 1.8.4 under R 4.2.2; oracle/R/cases_e.R.
describe('grades 0 to 5 of 100 plants', () => {
  const rows = readTable('ordinal_4x5x5');
  type Emm = { SE: number; 'asymp.LCL': number; 'asymp.UCL': number };
  const r = readAnswers('e_clmm_ordinal') as Record<
    'block' | 'block_plot' | 'plot_agq11' | 'clm',
    Clmm
  > & {
    lrt: { chisq: number; df: number; p: number };
    emm_latent: (Emm & { emmean: number })[];
    emm_mean_class: (Emm & { 'mean.class': number })[];
    emm_prob: (Emm & { trt: string; class: string; prob: number })[];
  };
  const fit = (groups: string[], quadraturePoints?: number) =>
    fitOrdinalMixed({
      grades: numbersOf(rows, 'score'),
      classes: 6,
      fixed: { factors: [factorOf(rows, 'trt')] },
      random: groups.map((g) => factorOf(rows, g)),
      quadraturePoints,
    });

  it('no groups', () => compare(fit([]), r.clm));
  it('block', () => compare(fit(['block']), r.block));
  it('block and plot', () => compare(fit(['block', 'plot']), r.block_plot));
  it('plot, 11 points', () => compare(fit(['plot'], 11), r.plot_agq11));
  it('plain likelihood ratio', () => {
    const lr = plainLikelihoodRatio(fit(['block', 'plot']))!;
    within(lr.statistic, r.lrt.chisq);
    within(lr.plainP, r.lrt.p);
    expect(lr.df).toBe(3);
  });
  it('latent means, mean grades and probabilities by treatment', () => {
    const levels = leastSquaresGrades(fit(['block', 'plot']))!;
    levels.forEach((level, t) => {
      const latent = r.emm_latent[t];
      within(level.latent.estimate, latent.emmean);
      within(level.latent.se, latent.SE);
      within(level.latent.low, latent['asymp.LCL']);
      // R numbers the classes from 1, we from 0.
      within(level.meanGrade.estimate + 1, r.emm_mean_class[t]['mean.class']);
      within(level.meanGrade.se, r.emm_mean_class[t].SE);
      level.probabilities.forEach((p) => {
        const e = r.emm_prob.find((x) => x.trt === level.level && Number(x.class) === p.grade + 1)!;
        within(p.estimate, e.prob);
        within(p.se, e.SE);
        within(p.high, e['asymp.UCL']);
      });
      expect(level.probabilities.reduce((sum, p) => sum + p.estimate, 0)).toBeCloseTo(1, 12);
    });
  });
  it('empty classes are left out and named; the rest does not change', () => {
    const spread = fitOrdinalMixed({
      grades: numbersOf(rows, 'score').map((g) => (g > 2 ? g + 2 : g)),
      classes: 9,
      fixed: { factors: [factorOf(rows, 'trt')] },
      random: [factorOf(rows, 'block')],
    });
    expect(spread.classesEmpty).toEqual([3, 4, 8]);
    expect(spread.thresholds.map((t) => t.upTo)).toEqual([0, 1, 2, 5, 6]);
    compare(spread, r.block);
  });
});

describe('bitterness of wine (Randall 1989, Biom. J. 31:781-793; ordinal)', () => {
  const rows = readTable('wine');
  const r = readAnswers('e_clmm_wine') as Record<'laplace' | 'agq10', Clmm>;
  const fit = (quadraturePoints?: number) =>
    fitOrdinalMixed({
      grades: numbersOf(rows, 'rating').map((g) => g - 1),
      classes: 5,
      fixed: { factors: [factorOf(rows, 'temp'), factorOf(rows, 'contact')] },
      random: [factorOf(rows, 'judge')],
      quadraturePoints,
    });
  // The stored probit fit is skipped: only the logit link is built. The stored Laplace logLik is
  // 3.5e-6 too high: R's search for the modes had stopped early. With clmm.control(gradTol = 1e-10),
  // and by modes found judge by judge at R's own estimates, it is -81.565412776.
  it('Laplace', () => compare(fit(), { ...r.laplace, logLik: -81.565412776773 }));
  it('10 points', () => compare(fit(10), r.agq10));
});

describe('awkward grades', () => {
  const treatment = factorFrom(
    'trt',
    Array.from({ length: 24 }, (_, i) => 'ABC'[i % 3]),
  );
  const input = { classes: 4, fixed: { factors: [treatment] }, random: [] };

  it('a treatment all in the lowest class: finite, penalised, said', () => {
    const grades = Array.from({ length: 24 }, (_, i) => (i % 3 === 1 ? 0 : (i * 7) % 4));
    const fit = fitOrdinalMixed({ ...input, grades });
    expect(fit.penalised?.code).toBe('separation');
    expect(fit.penalised?.rows.map((row) => row % 3)).toContain(1);
    for (const c of fit.fixed) {
      expect(Math.abs(c.estimate)).toBeLessThan(12);
      expect(c.se).toBeGreaterThan(0);
    }
    expect(fit.fixed[0].estimate).toBeLessThan(-1);
  });

  it('all rows of one class: refused with a sentence', () => {
    expect(() => fitOrdinalMixed({ ...input, grades: new Array(24).fill(2) })).toThrow(/one grade/);
  });

  it('a grade outside the scale: refused with its row', () => {
    const grades = new Array(24).fill(1);
    grades[5] = 4;
    expect(() => fitOrdinalMixed({ ...input, grades })).toThrow(
      'row 5: grade must be 0 to 3; got 4',
    );
  });
});
