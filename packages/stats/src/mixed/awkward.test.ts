import { describe, expect, it } from 'vitest';
import { fitBetaBinomial } from './beta-binomial';
import { fitBinomialMixed } from './binomial-mixed';
import { plainLikelihoodRatio } from './likelihood-ratio';
import { leastSquaresProbabilities } from './probabilities';

/** 4 treatments x 4 blocks, `plants` a plot, 10 leaves a plant. */
const layout = (plants: number) => {
  const rows = 16 * plants;
  const each = (f: (plot: number, i: number) => number) =>
    Array.from({ length: rows }, (_, i) => f(Math.floor(i / plants), i));
  const named = (name: string, codes: number[], prefix: string) => ({
    name,
    codes,
    levels: Array.from({ length: Math.max(...codes) + 1 }, (_, l) => `${prefix}${l + 1}`),
  });
  return {
    rows,
    trials: each(() => 10),
    treatment: named(
      'trt',
      each((p) => p % 4),
      'T',
    ),
    block: named(
      'block',
      each((p) => Math.floor(p / 4)),
      'B',
    ),
    plot: named(
      'plot',
      each((p) => p),
      'P',
    ),
    plant: named(
      'plant',
      each((_, i) => i),
      'L',
    ),
  };
};

/** A small linear congruential generator (Numerical Recipes constants), for test data only. */
const random = (seed: number) => {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
};

const finite = (value: unknown): void => {
  if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true);
  else if (value instanceof Float64Array) value.forEach(finite);
  else if (typeof value === 'object' && value !== null) Object.values(value).forEach(finite);
};

describe('separation', () => {
  const l = layout(6);
  const base = [0.5, 0.3, 0.4, 0.2];
  const next = random(20);
  const counts = l.treatment.codes.map((t) => {
    let y = 0;
    for (let k = 0; k < 10; k++) y += Number(next() < base[t]);
    return y;
  });
  const fit = (successes: number[], reference?: string) =>
    fitBinomialMixed({
      successes,
      trials: l.trials,
      fixed: { factors: [{ ...l.treatment, reference }] },
      random: [l.block, l.plot, l.plant],
    });
  const healthy = counts.map((y, i) => (l.treatment.codes[i] === 2 ? 0 : y));

  it('none without need', () => {
    expect(fit(counts).penalised).toBeUndefined();
  });

  it('one diseased leaf is enough: no penalty', () => {
    const one = healthy.slice();
    one[l.treatment.codes.indexOf(2)] = 1;
    expect(fit(one).penalised).toBeUndefined();
  });

  it('a treatment all healthy: finite, penalised, its rows named', () => {
    const f = fit(healthy);
    expect(f.penalised).toMatchObject({ code: 'separation', weight: 0.5 });
    expect([...new Set(f.penalised?.rows.map((i) => l.treatment.codes[i]))]).toEqual([2]);
    finite({ ...f, input: undefined });
    const p = leastSquaresProbabilities(f)!;
    // Half a leaf in 240: about 0.2 %.
    expect(p[2].probability).toBeGreaterThan(0.0002);
    expect(p[2].probability).toBeLessThan(0.01);
    expect(p[2].high).toBeLessThan(0.2);
    const lr = plainLikelihoodRatio(f)!;
    expect(lr.penalised).toBe(true);
    expect(lr.plainP).toBeLessThan(0.001);
    finite(lr);
  });

  it('the estimate does not depend on the reference, even when that is the one', () => {
    const a = leastSquaresProbabilities(fit(healthy))!;
    const b = leastSquaresProbabilities(fit(healthy, 'T3'))!;
    a.forEach((level, i) => {
      expect(b[i].probability).toBeCloseTo(level.probability, 6);
      expect(b[i].high).toBeCloseTo(level.high, 4);
    });
  });

  it('without groups it is (y + 1/2) / (n + 1) in every treatment', () => {
    const f = fitBinomialMixed({
      successes: healthy,
      trials: l.trials,
      fixed: { factors: [l.treatment] },
      random: [],
    });
    leastSquaresProbabilities(f)!.forEach((level, t) => {
      const y = healthy.reduce((sum, v, i) => sum + (l.treatment.codes[i] === t ? v : 0), 0);
      expect(level.probability).toBeCloseTo((y + 0.5) / 241, 8);
    });
  });

  it('nothing diseased anywhere, or everything', () => {
    for (const all of [0, 10]) {
      const f = fit(l.trials.map(() => all));
      expect(f.penalised?.rows).toHaveLength(l.rows);
      expect(f.groups.map((g) => g.sd)).toEqual([0, 0, 0]);
      finite({ ...f, input: undefined });
      finite(plainLikelihoodRatio(f));
    }
  });

  it('the beta-binomial too', () => {
    const f = fitBetaBinomial({
      successes: healthy,
      trials: l.trials,
      fixed: { factors: [l.treatment] },
      random: [l.block],
    });
    expect(f.penalised?.code).toBe('separation');
    finite({ ...f, input: undefined });
  });
});

describe('small and odd trials, by seed', () => {
  it.each(Array.from({ length: 40 }, (_, seed) => seed))('seed %i: finite, converged', (seed) => {
    const next = random(seed + 1);
    const l = layout(1 + (seed % 4));
    const level = [0.02, 0.2, 0.5, 0.9][seed % 4];
    const spread = (seed % 3) * 0.8;
    const plotEffect = l.plot.levels.map(() => spread * (next() + next() + next() - 1.5) * 2);
    const trials = l.trials.map(() => Math.floor(next() * 12));
    const successes = trials.map((n, i) => {
      const logit = Math.log(level / (1 - level)) + plotEffect[l.plot.codes[i]];
      let y = 0;
      for (let k = 0; k < n; k++) y += Number(next() < 1 / (1 + Math.exp(-logit)));
      return y;
    });
    const input = { successes, trials, fixed: { factors: [l.treatment] } };
    const fits = [
      fitBinomialMixed({ ...input, random: [l.block, l.plot, l.plant] }),
      fitBinomialMixed({ ...input, random: [l.plot], quadraturePoints: 9 }),
      fitBetaBinomial({ ...input, random: [l.block, l.plot] }),
    ];
    for (const f of fits) {
      expect(f.how.converged).toBe(true);
      finite({ ...f, input: undefined });
      finite(leastSquaresProbabilities(f));
      finite(plainLikelihoodRatio(f));
    }
    // More to explain with never explains less.
    const fewer = fitBinomialMixed({ ...input, random: [l.block] });
    if (!fewer.penalised) expect(fits[0].logLik).toBeGreaterThan(fewer.logLik - 1e-7);
  });
});

it('groups that differ less than chance allows: the mixed model is the ordinary logit model', () => {
  const l = layout(6);
  const successes = l.trials.map((_, i) => 2 + l.treatment.codes[i]);
  const input = { successes, trials: l.trials, fixed: { factors: [l.treatment] } };
  const mixed = fitBinomialMixed({ ...input, random: [l.block, l.plot, l.plant] });
  const plain = fitBinomialMixed({ ...input, random: [] });
  expect(mixed.groups.map((g) => g.sd)).toEqual([0, 0, 0]);
  expect(mixed.how.atBound).toEqual(['block', 'plot', 'plant']);
  expect(Math.abs(mixed.logLik - plain.logLik)).toBeLessThan(1e-9);
  mixed.fixed.forEach((c, j) => {
    expect(Math.abs(c.estimate - plain.fixed[j].estimate)).toBeLessThan(1e-6);
    expect(Math.abs(c.se! - plain.fixed[j].se!)).toBeLessThan(1e-6);
  });
});

it('plots all diseased or all healthy: the variance has no limit, and the fit says so', () => {
  const l = layout(6);
  const successes = l.plot.codes.map((p) => ((p * 7) % 16 < 8 ? 10 : 0));
  const f = fitBinomialMixed({
    successes,
    trials: l.trials,
    fixed: { factors: [l.treatment] },
    random: [l.plot],
  });
  expect(f.how.runaway).toEqual(['plot']);
  expect(f.how.converged).toBe(false);
});

it('one plant a plot: plants and plots are one grouping, and said to be', () => {
  const l = layout(1);
  const successes = l.trials.map((_, i) => (i * 5) % 9);
  const input = { successes, trials: l.trials, fixed: { factors: [l.treatment] } };
  const both = fitBinomialMixed({ ...input, random: [l.plot, l.plant] });
  const one = fitBinomialMixed({ ...input, random: [l.plot] });
  expect(both.merged).toEqual([{ name: 'plant', sameAs: 'plot' }]);
  expect(both.groups.map((g) => g.name)).toEqual(['plot']);
  expect(both.logLik).toBe(one.logLik);
});

describe('what is refused or left out', () => {
  const l = layout(1);
  const good = {
    successes: l.trials.map((_, i) => i % 5),
    trials: l.trials,
    fixed: { factors: [l.treatment] },
    random: [l.block],
  };

  it('counts that cannot be', () => {
    const successes = good.successes.slice();
    successes[3] = 11;
    expect(() => fitBinomialMixed({ ...good, successes })).toThrow(
      'row 3: needs whole numbers 0 <= successes <= trials; got 11 of 10',
    );
    successes[3] = 1.5;
    expect(() => fitBinomialMixed({ ...good, successes })).toThrow('got 1.5 of 10');
  });

  it('a reference level without rows, an unknown one, a bad code', () => {
    const spare = { ...l.treatment, levels: [...l.treatment.levels, 'T5'], reference: 'T5' };
    const ask = (t: typeof l.treatment) => () =>
      fitBinomialMixed({ ...good, fixed: { factors: [t] } });
    expect(ask(spare)).toThrow('trt: reference level "T5" has no rows. Choose another.');
    expect(ask({ ...spare, reference: 'T9' } as typeof l.treatment)).toThrow('no level "T9"');
    expect(ask({ ...l.treatment, codes: l.treatment.codes.map(() => 7) })).toThrow(/0 to 3; got 7/);
  });

  it('rows without leaves are not used; a level without rows gets no coefficient', () => {
    const trials = good.trials.map((n, i) => (l.treatment.codes[i] === 3 ? 0 : n));
    const successes = good.successes.map((y, i) => Math.min(y, trials[i]));
    const f = fitBinomialMixed({ ...good, trials, successes });
    expect(f.rows).toBe(12);
    expect(f.fixed.map((c) => c.name)).toEqual(['(Intercept)', 'T2', 'T3']);
    expect(leastSquaresProbabilities(f)?.map((p) => p.level)).toEqual(['T1', 'T2', 'T3']);
  });

  it('a factor that repeats another is dropped and named; means are then not given', () => {
    const twin = { ...l.treatment, name: 'twin' };
    const f = fitBinomialMixed({ ...good, fixed: { factors: [l.treatment, twin] } });
    expect(f.dropped).toEqual(['twin T2', 'twin T3', 'twin T4']);
    expect(leastSquaresProbabilities(f)).toBeUndefined();
    const alone = fitBinomialMixed(good);
    expect(f.logLik).toBeCloseTo(alone.logLik, 9);
  });
});
