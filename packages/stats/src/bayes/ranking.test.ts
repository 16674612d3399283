import { describe, expect, it } from 'vitest';
import { RANKING_CASES } from '../../oracle/ranking-cases';
import { brier, calibrate } from '../../oracle/ranking-calibration';
import { factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { normalCdf } from '../distributions/normal';
import { tCdf } from '../distributions/student';
import { fitLinear } from '../linear/fit';
import { versusControl } from '../linear/compare';
import { leastSquaresMeans } from '../linear/lsmeans';
import { ModelError } from '../mixed/design';
import { createRandom } from '../random';
import { type Ranking, type RankingInput, rankTreatments } from './ranking';

// Of the stored cases: means by their sd, probabilities, quantiles by their sd. The sd of a long
// chain is itself off by some percent, most where few blocks leave a long tail.
const tol = {
  mean: 0.03,
  probability: 0.01,
  quantile: 0.1,
  sd: 0.05,
  // Of a probability close to 0, whose upper tail is long.
  skewed: 0.1,
  // R's 97.5 % point of treatment C (0.3015) lies 0.1 sd below that of the long chain (0.3071), its sd
  // 5 % below: the chance of its draws.
  tailOfR: 0.2,
  tail: 0.15,
  evened: 0.006,
  manyBlocks: 0.01,
  rounding: 2e-3,
};

type Posterior = { par: string; mean: number; sd: number; q025: number; q50: number; q975: number };
type Answer = {
  posterior: Posterior[];
  prob_lowest: Record<string, number>;
  prob_each_lower_than_first: Record<string, number>;
  mean_prob: Posterior[];
  expected_rank: Record<string, number>;
};

const counts = (
  table: string,
  columns: { y: string; n: string; treatment: string; groups: readonly string[] },
): RankingInput => {
  const rows = readTable(table);
  const { codes, levels } = factorOf(rows, columns.treatment);
  return {
    treatment: { codes, levels, reference: levels[0] },
    groups: columns.groups.map((name) => factorOf(rows, name)),
    response: {
      kind: 'counts',
      successes: numbersOf(rows, columns.y),
      trials: numbersOf(rows, columns.n),
    },
    better: 'lower',
    worthHaving: 0.3,
  };
};

const leaf = counts('leaf_4x4x6', {
  y: 'diseased',
  n: 'leaves',
  treatment: 'trt',
  groups: ['block', 'plot'],
});
const herds = counts('cbpp', { y: 'incidence', n: 'size', treatment: 'period', groups: ['herd'] });

const near = (x: number, e: number, by: number) => {
  expect(Math.abs(x - e), `${x} beside ${e}`).toBeLessThanOrEqual(by);
};

/** Against 40,000 draws of R's rstanarm (cases_h.R). */
const likeR = (ranking: Ranking, answer: Answer, groups: Record<string, string>) => {
  ranking.treatments.forEach((one, t) => {
    near(one.best, Object.values(answer.prob_lowest)[t], tol.probability);
    near(one.beatsControl, Object.values(answer.prob_each_lower_than_first)[t], tol.probability);
    near(one.expectedRank, Object.values(answer.expected_rank)[t], tol.probability);
    const p = answer.mean_prob[t];
    near(one.mean.mean, p.mean, tol.mean * p.sd);
    near(one.mean.sd, p.sd, tol.sd * p.sd);
    near(one.mean.low, p.q025, tol.tailOfR * p.sd);
    near(one.mean.high, p.q975, tol.tailOfR * p.sd);
    if (t === 0) return;
    const b = answer.posterior[t];
    near(one.difference.mean, b.mean, tol.mean * b.sd);
    near(one.difference.sd, b.sd, tol.sd * b.sd);
    near(one.difference.low, b.q025, tol.quantile * b.sd);
    near(one.difference.high, b.q975, tol.quantile * b.sd);
  });
  for (const [name, par] of Object.entries(groups)) {
    const own = ranking.spreads.find((spread) => spread.name === name)!;
    const r = answer.posterior.find((one) => one.par.includes(par))!;
    near(own.low ** 2, r.q025, tol.quantile * r.sd);
    near(own.median ** 2, r.q50, tol.quantile * r.sd);
    near(own.high ** 2, r.q975, tol.quantile * r.sd);
  }
};

describe('chances of being best, against R (rstanarm, 40,000 draws)', () => {
  it('96 plants in plots in blocks', () => {
    const answer = readAnswers('h_bayes_leaf_4x4x6') as Answer;
    likeR(rankTreatments(leaf), answer, { block: 'block:', plot: 'plot:' });
  });

  it('periods of a cattle disease in herds (cbpp)', () => {
    likeR(rankTreatments(herds), readAnswers('h_bayes_cbpp') as Answer, { herd: 'grp:' });
  });
});

const ofCase = (name: string): RankingInput => {
  const one = RANKING_CASES.find((c) => c.name === name)!;
  return {
    treatment: { ...one.treatment, reference: 'A' },
    groups: one.groups,
    response: { kind: 'counts', successes: one.successes, trials: one.trials },
    better: 'lower',
    worthHaving: 0.3,
  };
};

type Chance = { chance: number; error: number };
type Chained = {
  name: string;
  best: Chance[];
  beatsControl: Chance[];
  beatsWorthwhile: Chance[];
  difference: { mean: number; sd: number }[];
  probability: { mean: number; sd: number; q025: number; q975: number }[];
};

describe('the same by a random-walk chain (ranking-study.ts), where R was not asked', () => {
  const { cases } = readAnswers('ranking') as { cases: Chained[] };
  it.each(cases.map((one) => [one.name, one] as const))('%s', (name, chain) => {
    const ranking = rankTreatments(ofCase(name));
    ranking.treatments.forEach((one, t) => {
      for (const key of ['best', 'beatsControl', 'beatsWorthwhile'] as const) {
        near(one[key], chain[key][t].chance, tol.probability);
      }
      const { mean, sd } = chain.difference[t];
      near(one.difference.mean, mean, tol.mean * sd);
      near(one.difference.sd, sd, tol.sd * sd);
      const p = chain.probability[t];
      near(one.mean.mean, p.mean, tol.mean * p.sd);
      near(one.mean.sd, p.sd, tol.skewed * p.sd);
      near(one.mean.low, p.q025, tol.quantile * p.sd);
      near(one.mean.high, p.q975, tol.tail * p.sd);
    });
    for (const { chance, error } of chain.best) expect(error, String(chance)).toBeLessThan(0.003);
  });
});

const sum = (x: readonly number[]): number => x.reduce((s, v) => s + v, 0);
const best = ({ treatments }: Ranking): number[] => treatments.map((one) => one.best);

describe('chances of being best, properties', () => {
  it('the chances of all treatments sum to 1', () => {
    for (const one of RANKING_CASES)
      expect(sum(best(rankTreatments(ofCase(one.name))))).toBeCloseTo(1, 12);
  });

  it('neither the order of treatments nor that of blocks and rows matters', () => {
    const one = ofCase('leaf_4x4x6');
    const whole = rankTreatments(one);
    const turn = [3, 0, 2, 1];
    const levels = turn.map((code) => one.treatment.levels[code]);
    const order = Array.from(one.treatment.codes, (_, i) => i).reverse();
    const { response } = one;
    if (response.kind !== 'counts') throw new Error('counts');
    const turned = rankTreatments({
      ...one,
      treatment: {
        codes: order.map((i) => turn.indexOf(one.treatment.codes[i])),
        levels,
        reference: 'A',
      },
      groups: one.groups.map(({ name, codes, levels: own }) => ({
        name,
        levels: [...own].reverse(),
        codes: order.map((i) => own.length - 1 - codes[i]),
      })),
      response: {
        kind: 'counts',
        successes: order.map((i) => response.successes[i]),
        trials: order.map((i) => response.trials[i]),
      },
    });
    turned.treatments.forEach((own) => {
      const same = whole.treatments.find(({ level }) => level === own.level)!;
      near(own.best, same.best, tol.evened);
      near(own.beatsControl, same.beatsControl, tol.evened);
      near(own.difference.mean, same.difference.mean, 0.01);
    });
  });

  it('treatments with the same counts have the same chances', () => {
    const one = ofCase('plots as alike as can be');
    const even = rankTreatments({
      ...one,
      response: {
        kind: 'counts',
        successes: Array.from(one.treatment.codes, (code) => (code === 0 ? 20 : 8)),
        trials: Array.from(one.treatment.codes, () => 40),
      },
    });
    for (const { level, best: chance } of even.treatments) {
      if (level !== 'A') near(chance, 1 / 3, tol.evened);
    }
  });

  it('turns round where more is better', () => {
    const one = ofCase('leaf_4x4x6');
    const { response } = one;
    if (response.kind !== 'counts') throw new Error('counts');
    const healthy = Array.from(response.successes, (y, i) => response.trials[i] - y);
    const turned = rankTreatments({
      ...one,
      response: { ...response, successes: healthy },
      better: 'higher',
    });
    rankTreatments(one).treatments.forEach((own, t) => {
      near(turned.treatments[t].best, own.best, tol.evened);
      near(turned.treatments[t].beatsControl, own.beatsControl, tol.evened);
    });
  });

  it('stated chances come true: truth drawn from the priors, 40 trials', () => {
    const said = calibrate(40, 7, { laid: 2048, weighed: 512 });
    for (const list of Object.values(said)) {
      const variance = sum(list.map(({ chance }) => chance * (1 - chance)));
      const excess = sum(list.map(({ chance, so }) => (so ? 1 : 0) - chance));
      // Treatments of one trial go together: at most four times the variance of separate ones.
      expect(Math.abs(excess)).toBeLessThan(3.3 * 2 * Math.sqrt(variance) + 1);
      const { score, expected } = brier(list);
      expect(Math.abs(score - expected)).toBeLessThan(0.05);
    }
  });

  it('says what it can’t rank', () => {
    const alone = { codes: [0, 0], levels: ['A'], reference: 'A' };
    const response = { kind: 'values' as const, y: [1, 2] };
    const ask = (change: Partial<RankingInput>) => () =>
      rankTreatments({
        treatment: alone,
        groups: [],
        response,
        better: 'lower',
        worthHaving: 0.3,
        ...change,
      });
    expect(ask({})).toThrow(ModelError);
    expect(ask({ treatment: { codes: [0, 0], levels: ['A', 'B'], reference: 'A' } })).toThrow(
      'no values of B',
    );
    expect(ask({ treatment: { codes: [0, 1], levels: ['A', 'B'], reference: 'C' } })).toThrow(
      'no level "C"',
    );
    const two = { codes: [0, 1], levels: ['A', 'B'], reference: 'A' };
    expect(ask({ treatment: two, response: { kind: 'values', y: [3, 3] } })).toThrow(
      'all values are alike',
    );
  });
});

/** Blocks with plots of every treatment, normal values. */
const blocksOf = (effects: readonly number[], blocks: number, seed: number) => {
  const random = createRandom(seed);
  const index = Array.from({ length: effects.length * blocks }, (_, i) => i);
  const levels = effects.map((_, t) => `t${t}`);
  const bed = Array.from({ length: blocks }, () => 2 * random.normal());
  const y = index.map(
    (i) =>
      50 + bed[Math.floor(i / effects.length)] + effects[i % effects.length] + 4 * random.normal(),
  );
  const treatment = { codes: index.map((i) => i % effects.length), levels, reference: 't0' };
  const block = {
    name: 'block',
    codes: index.map((i) => Math.floor(i / effects.length)),
    levels: bed.map((_, b) => `b${b}`),
  };
  return { treatment, block, y };
};

const valuesInput = (
  { treatment, block, y }: ReturnType<typeof blocksOf>,
  change: Partial<RankingInput> = {},
): RankingInput => ({
  treatment,
  groups: [block],
  response: { kind: 'values', y },
  better: 'lower',
  worthHaving: 0.1,
  ...change,
});

describe('values instead of counts', () => {
  it('one plain integral over the residual gives the same (two treatments, no blocks)', () => {
    const y = [12, 15, 11, 14, 9, 10, 12, 8];
    const codes = [0, 0, 0, 0, 1, 1, 1, 1];
    const ranking = rankTreatments({
      treatment: { codes, levels: ['A', 'B'], reference: 'A' },
      groups: [],
      response: { kind: 'values', y },
      better: 'lower',
      worthHaving: 0.2,
    });
    const mean = sum(y) / 8;
    const s = Math.sqrt(sum(y.map((v) => (v - mean) ** 2)) / 7);
    const [a, b] = [sum(y.slice(0, 4)) / 4, sum(y.slice(4)) / 4];
    const within = sum(y.map((v, i) => (v - (i < 4 ? a : b)) ** 2));
    // With four plots of each, overall mean and difference are independent: difference normal around
    // b - a with variance sigma^2 / 2, shrunk by its prior; the overall mean the same with / 8.
    let total = 0;
    let chance = 0;
    let difference = 0;
    for (let sigma = 0.02; sigma < 30; sigma += 0.02) {
      const ratio = (2.5 * s) ** 2 / ((2.5 * s) ** 2 + sigma ** 2 / 2);
      const marginal = Math.sqrt((2.5 * s) ** 2 + sigma ** 2 / 2);
      const overall = Math.sqrt((5 * s) ** 2 + sigma ** 2 / 8);
      const weight =
        Math.exp(-within / (2 * sigma ** 2) - (b - a) ** 2 / (2 * marginal ** 2) - sigma / s) /
        (sigma ** 6 * marginal * overall);
      total += weight;
      difference += weight * ratio * (b - a);
      chance += weight * normalCdf((ratio * (a - b)) / Math.sqrt((ratio * sigma ** 2) / 2));
    }
    const [, second] = ranking.treatments;
    near(second.beatsControl, chance / total, 0.002);
    near(second.best, chance / total, 0.002);
    near(second.difference.mean, difference / total, 0.002 * s);
  });

  it('with many blocks agrees with least squares', () => {
    const trial = blocksOf([0, -0.9, -1.4], 60, 3);
    const ranking = rankTreatments(valuesInput(trial));
    const { levels } = trial.treatment;
    const T = levels.length;
    const fit = fitLinear({
      y: trial.y,
      terms: [
        { kind: 'factor', ...trial.block },
        { kind: 'factor', name: 'treatment', codes: trial.treatment.codes, levels },
      ],
    });
    const { comparisons, df } = versusControl(leastSquaresMeans(fit, 'treatment'), 0);
    comparisons.forEach(({ difference, se }, k) => {
      const own = ranking.treatments[k + 1];
      near(own.beatsControl, tCdf(-difference! / se!, df), tol.manyBlocks);
      near(own.difference.mean, difference!, tol.manyBlocks * 5);
      near(own.difference.sd / se!, 1, tol.manyBlocks * 5);
    });
    expect(ranking.treatments).toHaveLength(T);
  });

  it('is the same in any unit and from any zero', () => {
    const trial = blocksOf([0, -3, -6, 1], 4, 5);
    const plain = rankTreatments(valuesInput(trial));
    const other = rankTreatments(
      valuesInput(trial, { response: { kind: 'values', y: trial.y.map((v) => 1000 + 0.01 * v) } }),
    );
    plain.treatments.forEach((one, t) => {
      near(other.treatments[t].best, one.best, tol.rounding);
      near(other.treatments[t].beatsControl, one.beatsControl, tol.rounding);
      near(
        other.treatments[t].difference.mean,
        0.01 * one.difference.mean,
        0.01 * 10 * tol.rounding,
      );
    });
  });

  it('a firm spread from elsewhere takes the place of the plots’ own', () => {
    const trial = blocksOf([0, -3, -6, 1], 4, 5);
    const wide = rankTreatments(
      valuesInput(trial, { spreads: { residual: { kind: 'spread', sd: 20, df: 200 } } }),
    );
    const residual = wide.spreads.find(({ name }) => name === 'residual')!;
    near(residual.median, 20, 0.6);
    // Differences then have the standard error 20 sqrt(2 / 4), shrunk a little by their prior.
    expect(wide.treatments[2].difference.sd).toBeGreaterThan(6);
    expect(wide.treatments[2].difference.sd).toBeLessThan(20 * Math.SQRT1_2 * 1.01);
  });
});
