import { describe, expect, it } from 'vitest';
import { factorOf, numbersOf, readAnswers, readTable, type Row } from '../../oracle/read';
import { binomialLikelihood } from '../mixed/binomial-likelihood';
import { fitBinomialMixed } from '../mixed/binomial-mixed';
import { type FixedEffects, fixedDesign, groupTerms, type RandomGrouping } from '../mixed/design';
import { fitEngine } from '../mixed/engine';
import { mixedObjective } from '../mixed/laplace';
import { logChoose } from '../mixed/likelihood';
import { createRandom } from '../random';
import { createNestedFitter } from './fitter';
import { simulateCounts } from './simulate';
import { evaluateSurface } from './surface';
import { nestedTree } from './tree';

const tol = { closedForm: 1e-8, optimised: 1e-6, slope: 1e-6 };
const NOT_LOWER = 1e-6;

type Problem = {
  readonly y: readonly number[];
  readonly n: readonly number[];
  readonly fixed: FixedEffects;
  readonly random: readonly RandomGrouping[];
};

const problemOf = (rows: readonly Row[], groups: readonly string[]): Problem => ({
  y: numbersOf([...rows], 'diseased'),
  n: numbersOf([...rows], 'leaves'),
  fixed: { factors: [factorOf([...rows], 'trt')] },
  random: groups.map((g) => factorOf([...rows], g)),
});

const parts = ({ y, fixed, random }: Problem) => {
  const kept = y.map((_, i) => i);
  const design = fixedDesign(fixed, y.length, kept, true);
  return { design, ...groupTerms(random, y.length, kept) };
};

const fitterOf = (problem: Problem) => createNestedFitter(parts(problem))!;

/** The engine for any groupings, which takes no road of its own for nested ones. */
const generalFit = (problem: Problem) => {
  const { design, terms } = parts(problem);
  return fitEngine({
    likelihood: binomialLikelihood(problem.y, problem.n),
    design,
    terms,
    shape: { start: new Float64Array(0), names: [], even: true },
    pseudo: (rows, weight) => {
      const w = new Float64Array(rows).fill(weight);
      return binomialLikelihood(
        w,
        w.map((v) => 2 * v),
        false,
      );
    },
  });
};

const constantOf = ({ y, n }: Problem) => y.reduce((sum, v, i) => sum + logChoose(n[i], v), 0);

const leaf = readTable('leaf_4x4x6');

describe.each([['block', 'plot', 'plant'], ['plot', 'block'], ['block'], ['plant']])(
  'the surface with %s %s %s',
  (...groups) => {
    const problem = problemOf(leaf, groups.filter(Boolean));
    const fitter = fitterOf(problem);
    const { surface } = fitter.search;
    fitter.fit(problem.y, problem.n);
    const levels = surface.levels;
    const sds = [0.37, 0.21, 0.6].slice(0, levels);
    const point = Float64Array.of(...sds, -0.6, 0.3, -0.2, 0.15);

    it('is the general engine’s objective at any point', () => {
      const { design, terms } = parts(problem);
      const x = fitter.pooled.orthogonal;
      const objective = mixedObjective({
        likelihood: binomialLikelihood(problem.y, problem.n),
        design: x.matrix,
        columns: design.names.length,
        terms,
      });
      const theirs = point.slice();
      fitter.pooled.tree.termOf.forEach((k, level) => (theirs[k] = point[level]));
      const value = evaluateSurface(surface, point, undefined) + constantOf(problem);
      expect(Math.abs(value - objective.evaluate(theirs))).toBeLessThan(tol.closedForm);
    });

    it.each([0, 1])('slopes are those of differences, with a variance of zero too', (zeros) => {
      const at = point.slice();
      if (zeros) at[0] = 0;
      const gradient = new Float64Array(at.length);
      evaluateSurface(surface, at, gradient);
      const score = surface.score.slice();
      const value = (move: (p: Float64Array) => void) => {
        const moved = at.slice();
        move(moved);
        return evaluateSurface(surface, moved, undefined);
      };
      const h = 1e-3;
      for (let i = 0; i < at.length; i++) {
        // Four points: an error of h^4.
        const about = (d: number) => value((p) => (p[i] += d)) - value((p) => (p[i] -= d));
        const slope = (8 * about(h) - about(2 * h)) / (12 * h);
        expect(Math.abs(gradient[i] - slope)).toBeLessThan(tol.slope);
      }
      // By the variance of the finest level, one-sided (a variance can't be negative).
      const variance = at[0] ** 2;
      const up = (d: number) => value((p) => (p[0] = Math.sqrt(variance + d)));
      const slope = (4 * up(h * h) - up(2 * h * h) - 3 * up(0)) / (2 * h * h);
      expect(Math.abs(score[0] - slope)).toBeLessThan(1e-3 * (1 + Math.abs(slope)));
    });
  },
);

it('pools plants of a plot when plants have no effect of their own', () => {
  expect(fitterOf(problemOf(leaf, ['block', 'plot'])).pooled.count).toBe(16);
  expect(fitterOf(problemOf(leaf, ['block', 'plot', 'plant'])).pooled.count).toBe(96);
  expect(fitterOf(problemOf(leaf, ['block'])).pooled.count).toBe(16);
});

it('crossed groupings, or none, are not for it', () => {
  const { terms } = parts({
    y: [0, 1, 2, 3],
    n: [4, 4, 4, 4],
    fixed: { factors: [] },
    random: [
      { name: 'row', codes: [0, 0, 1, 1], levels: ['1', '2'] },
      { name: 'column', codes: [0, 1, 0, 1], levels: ['1', '2'] },
    ],
  });
  expect(nestedTree(terms)).toBeUndefined();
  expect(nestedTree([])).toBeUndefined();
});

// lme4 1.1-31 under R 4.2.2; oracle/R/cases_b.R.
describe('never below R’s optimum', () => {
  it.each(['leaf_4x4x6', 'leaf_4x4x6_rare'])('%s', (name) => {
    const r = readAnswers(`b_${name}`) as Record<string, { logLik: number }>;
    const rows = readTable(name);
    for (const groups of [['block', 'plot', 'plant'], ['block', 'plot'], ['plot']]) {
      const answer = groups.length === 1 ? 'plot_agq1' : `laplace_${groups.join('_')}`;
      const problem = problemOf(rows, groups);
      const fitter = fitterOf(problem);
      const logLik = fitter.fit(problem.y, problem.n) + constantOf(problem);
      expect(fitter.converged()).toBe(true);
      expect(logLik).toBeGreaterThan(r[answer].logLik - NOT_LOWER);
    }
  });

  it('lung disease of cattle, herds', () => {
    const rows = readTable('cbpp');
    const r = readAnswers('b_cbpp') as { laplace: { logLik: number } };
    const problem = {
      y: numbersOf(rows, 'incidence'),
      n: numbersOf(rows, 'size'),
      fixed: { factors: [factorOf(rows, 'period')] },
      random: [factorOf(rows, 'herd')],
    };
    const logLik = fitterOf(problem).fit(problem.y, problem.n) + constantOf(problem);
    expect(logLik).toBeGreaterThan(r.laplace.logLik - NOT_LOWER);
  });

  it('sixty simulated trials, with and without treatment', () => {
    const rows = readTable('sims_60');
    const { fits } = readAnswers('b_sims_60_glmer_lrt') as { fits: Record<string, number>[] };
    for (const r of fits) {
      const problem = problemOf(
        rows.filter(({ sim }) => Number(sim) === r.sim),
        ['block', 'plot'],
      );
      const ours = (fixed: FixedEffects) =>
        fitterOf({ ...problem, fixed }).fit(problem.y, problem.n) + constantOf(problem);
      expect(ours(problem.fixed)).toBeGreaterThan(r.ll1 - NOT_LOWER);
      expect(ours({ factors: [] })).toBeGreaterThan(r.ll0 - NOT_LOWER);
    }
  });
});

/** A layout of `treatments` x 4 blocks with `plants` rows a plot. */
const layoutOf = (treatments: number, plants: number): Problem => {
  const rows = treatments * 4 * plants;
  const named = (name: string, of: (i: number) => number) => {
    const codes = Array.from({ length: rows }, (_, i) => of(i));
    const levels = Array.from({ length: Math.max(...codes) + 1 }, (_, l) => `${name}${l}`);
    return { name, codes, levels };
  };
  const plot = (i: number) => Math.floor(i / plants);
  return {
    y: Array.from({ length: rows }, () => 0),
    n: Array.from({ length: rows }, (_, i) => 8 + ((i * 7) % 9)),
    fixed: { factors: [named('trt', (i) => plot(i) % treatments)] },
    random: [
      named('plot', plot),
      named('block', (i) => Math.floor(plot(i) / treatments)),
      named('plant', (i) => i),
    ],
  };
};

const drawn = (problem: Problem, level: number, sd: readonly number[], seed: number): Problem => {
  const { terms } = parts(problem);
  const logits = problem.n.map((_, i) => level + 0.2 * (i % 3));
  const plan = { logits, trials: problem.n, terms, sd };
  return { ...problem, y: [...simulateCounts(plan, createRandom(seed))] };
};

it.each(Array.from({ length: 24 }, (_, seed) => seed))(
  'simulated trial %i: the general engine’s optimum, refit after refit',
  (seed) => {
    const empty = layoutOf(2 + (seed % 4), 1 + (seed % 3));
    const level = [-3.5, -1.5, 0, 2][seed % 4];
    const sd = [0.5 * (seed % 3), 0.4 * (seed % 2), 0.3].slice(0, parts(empty).terms.length);
    const first = drawn(empty, level, sd, seed);
    const second = drawn(empty, level, sd, seed + 100);
    const fitter = fitterOf(first);
    for (const problem of [first, second, first]) {
      fitter.fit(problem.y, problem.n);
      const general = generalFit(problem);
      expect(fitter.converged()).toBe(true);
      expect(fitter.penalised()).toBe(general.penalised !== undefined);
      // With a penalty the likelihood alone is no optimum; the estimates are compared below.
      const apart = fitter.search.value - fitter.search.surface.penalty + constantOf(problem);
      if (!fitter.penalised()) {
        expect(Math.abs(apart - general.logLik)).toBeLessThan(tol.optimised);
      }
      const sds = fitter.sd();
      general.sd.forEach((v, k) => {
        expect(Math.abs(sds[k] - v)).toBeLessThan(2e-3);
        expect(sds[k] === 0).toBe(v === 0);
      });
    }
  },
);

describe('what a fit does not depend on', () => {
  const problem = problemOf(leaf, ['block', 'plot', 'plant']);
  const fitOf = ({ y, n, fixed, random }: Problem) =>
    fitBinomialMixed({ successes: y, trials: n, fixed, random });
  const base = fitOf(problem);
  const same = (a: number, b: number) => expect(Math.abs(a - b)).toBeLessThan(1e-6);

  it('the order of rows and of groupings', () => {
    const order = Int32Array.from(leaf, (_, i) => i);
    createRandom(5).shuffle(order);
    const shuffled = problemOf(
      [...order].map((i) => leaf[i]),
      ['plant', 'block', 'plot'],
    );
    const f = fitOf(shuffled);
    same(f.logLik, base.logLik);
    base.groups.forEach(({ name, sd }) => {
      same(f.groups.find((g) => g.name === name)!.sd, sd);
    });
    base.fixed.forEach((c, j) => {
      same(f.fixed[j].estimate, c.estimate);
      same(f.fixed[j].se!, c.se!);
    });
  });

  it('the names of treatments and which is the reference', () => {
    const factor = factorOf(leaf, 'trt');
    const names = { A: 'D', B: 'C', C: 'B', D: 'A' } as Record<string, string>;
    const renamed = { ...factor, levels: factor.levels.map((l) => names[l]), reference: 'C' };
    const f = fitOf({ ...problem, fixed: { factors: [renamed] } });
    same(f.logLik, base.logLik);
    // C against B under the new names is B against C under the old.
    const of = (name: string) => base.fixed.find((c) => c.name === name)!.estimate;
    same(f.fixed.find((c) => c.name === 'B')!.estimate, of('C') - of('B'));
    same(f.fixed.find((c) => c.name === 'D')!.estimate, -of('B'));
  });

  it('diseased and healthy change places: signs turn, nothing else', () => {
    const f = fitOf({ ...problem, y: problem.y.map((v, i) => problem.n[i] - v) });
    same(f.logLik, base.logLik);
    base.fixed.forEach((c, j) => same(f.fixed[j].estimate, -c.estimate));
    base.groups.forEach((g, k) => same(f.groups[k].sd, g.sd));
  });
});
