import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { factorFrom, factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { crossFactors } from '../linear/design';
import type { Factor, Term } from '../linear/design';
import { fitReml, type RemlFit } from './fit';
import { placeAt } from './likelihood';
import type { RemlInput } from './model';
import { precisionOf } from './information';
import { remlAllPairs, remlContrasts, remlMeans } from './means';
import { formsTest, termTest, type WaldTest } from './wald';

// R's optimisers stop where the log-likelihood is flat to about 1e-9: variances then agree to about
// 1e-5, and what is made of them to about as much. `same` is for one and the same parameters.
const tol = { same: 1e-9, logLik: 1e-6, optimised: 2e-4, p: 1e-6 };

type RTest = { term: string; df: number; den: number; f: number; p: number };
type RSides = {
  means: Record<string, number>[];
  pairs: { contrast: string; estimate: number; SE: number; df: number; 'p.value': number }[];
};
type RCase = {
  logLik: number;
  ml: number;
  variances: Record<string, number>;
  kr: RTest[];
  satterthwaite: RTest[];
  sides_kr: RSides;
  sides_sat: RSides;
};

const answers = readAnswers('reml') as Record<string, unknown>;

function near(got: number | undefined, expected: number, relative: number): void {
  expect(got).toBeDefined();
  expect(Math.abs(got! - expected)).toBeLessThanOrEqual(
    relative * Math.max(1e-3, Math.abs(expected)),
  );
}

function fitOf(input: RemlInput): RemlFit {
  const fit = fitReml(input);
  if (!fit.known) throw new Error(fit.why);
  return fit;
}

function matches(test: WaldTest, row: RTest): void {
  expect(test.df).toBe(row.df);
  near(test.f, row.f, tol.optimised);
  near(test.denDf, row.den, tol.optimised);
  near(test.p, row.p, 5 * tol.optimised);
}

const random = ({ name, codes }: Factor) => ({ name, codes });

const oatsRows = readTable('oats');
const lostRows = oatsRows.filter((_, i) => ![5, 17, 40, 41, 66].includes(i + 1));
const npkRows = readTable('npk');
const rcbdRows = readTable('rcbd_6x5_missing');
const latinRows = readTable('goulden.latin');

function oats(rows: typeof oatsRows) {
  const [b, v, n] = ['B', 'V', 'N'].map((name) => factorOf(rows, name));
  const w = factorFrom(
    'W',
    rows.map((row) => `${row['B']} ${row['V']}`),
  );
  return { y: numbersOf(rows, 'Y'), b, v, n, w, vn: crossFactors('VN', v, n) };
}

const whole = oats(oatsRows);
const lost = oats(lostRows);
const npkTrt = factorFrom(
  'trt',
  npkRows.map((row) => `${row['N']}${row['P']}${row['K']}`),
);

type Case = { name: string; input: RemlInput; means: string; tests: Record<string, string> };
const both = (o: ReturnType<typeof oats>): Term[] => [o.v, o.n, o.vn];

const cases: readonly Case[] = [
  {
    name: 'oats_cells',
    input: { y: whole.y, terms: [whole.b, whole.vn], random: [random(whole.w)] },
    means: 'VN',
    tests: { B: 'B', VN: 'VN' },
  },
  {
    name: 'oats_lost_cells',
    input: { y: lost.y, terms: [lost.vn], random: [random(lost.b), random(lost.w)] },
    means: 'VN',
    tests: { VN: 'VN' },
  },
  {
    name: 'oats',
    input: { y: whole.y, terms: both(whole), random: [random(whole.b), random(whole.w)] },
    means: '',
    tests: { V: 'V', N: 'N', 'V:N': 'VN' },
  },
  {
    name: 'oats_lost',
    input: { y: lost.y, terms: [lost.b, ...both(lost)], random: [random(lost.w)] },
    means: '',
    tests: { B: 'B', V: 'V', N: 'N', 'V:N': 'VN' },
  },
  {
    name: 'npk',
    input: {
      y: numbersOf(npkRows, 'yield'),
      terms: [npkTrt],
      random: [random(factorOf(npkRows, 'block'))],
    },
    means: 'trt',
    tests: { trt: 'trt' },
  },
  {
    name: 'rcbd_lost',
    input: {
      y: numbersOf(rcbdRows, 'y'),
      terms: [factorOf(rcbdRows, 'trt')],
      random: [random(factorOf(rcbdRows, 'block'))],
    },
    means: 'trt',
    tests: { trt: 'trt' },
  },
  {
    name: 'latin',
    input: {
      y: numbersOf(latinRows, 'yield'),
      terms: [factorOf(latinRows, 'trt')],
      random: [random(factorOf(latinRows, 'row')), random(factorOf(latinRows, 'col'))],
    },
    means: 'trt',
    tests: { trt: 'trt' },
  },
];

describe.each(cases)('$name against lme4, lmerTest, pbkrtest, emmeans (R 4.2.2)', (one) => {
  const r = answers[one.name] as RCase;
  const fit = fitOf(one.input);

  it('has the log-likelihood of R at R’s variances, and none below R’s at its own', () => {
    const theta = Float64Array.from([
      ...fit.components.map(({ name }) => r.variances[name] ?? r.variances[name.toLowerCase()]),
      r.variances['Residual'],
    ]);
    near(placeAt(fit.model, theta, false)?.logLik, r.logLik, tol.same);
    expect(fit.logLik).toBeGreaterThanOrEqual(r.logLik - tol.same * Math.abs(r.logLik));
    near(fit.logLik, r.logLik, tol.logLik);
    const ml = fitOf({ ...one.input, method: 'ml' });
    expect(ml.logLik).toBeGreaterThanOrEqual(r.ml - tol.same * Math.abs(r.ml));
    near(ml.logLik, r.ml, tol.logLik);
    expect(fit.how.converged && ml.how.converged).toBe(true);
  });

  it('has its variances', () => {
    for (const { name, variance } of fit.components) {
      near(variance, r.variances[name] ?? r.variances[name.toLowerCase()], tol.optimised);
    }
    near(fit.residual.variance, r.variances['Residual'], tol.optimised);
  });

  it('tests terms by kenward-roger', () => {
    const precision = precisionOf(fit, 'kenward-roger');
    for (const row of r.kr) matches(termTest(precision, one.tests[row.term])!, row);
  });

  it('tests terms by satterthwaite, the forms written as lmerTest writes them', () => {
    // Fai and Cornelius's df hang on how several forms are scaled against each other; lmerTest takes
    // the rows of a Doolittle factor of X'X, which are ours over the diagonal of R.
    const precision = precisionOf(fit, 'satterthwaite');
    const { design, triangle } = fit.linear;
    for (const row of r.satterthwaite) {
      const { from, to } = design.terms.find(({ term }) => term.name === one.tests[row.term])!;
      const places = [...triangle.place.subarray(from, to)].filter((k) => k >= 0);
      const forms = places.map((k) => {
        const j = triangle.place.indexOf(k);
        return new Float64Array(fit.rank).fill(1 / triangle.r[j * triangle.rank + k], k, k + 1);
      });
      matches(formsTest(precision, forms)!, row);
      near(termTest(precision, one.tests[row.term])!.f, row.f, tol.optimised);
    }
  });

  const compared = one.means === '' ? [] : (['kenward-roger', 'satterthwaite'] as const);
  it.each(compared)('compares means by %s', (method) => {
    const means = remlMeans(precisionOf(fit, method), one.means);
    const sides = method === 'satterthwaite' ? r.sides_sat : r.sides_kr;
    means.means.forEach(({ estimate, se, df }, i) => {
      near(estimate, sides.means[i]['emmean'], tol.optimised);
      near(se, sides.means[i]['SE'], tol.optimised);
      near(df, sides.means[i]['df'], tol.optimised);
    });
    const { pairs } = remlAllPairs(means);
    expect(pairs).toHaveLength(sides.pairs.length);
    pairs.forEach(({ difference, se, df }, i) => {
      near(difference, sides.pairs[i].estimate, tol.optimised);
      near(se, sides.pairs[i].SE, tol.optimised);
      near(df, sides.pairs[i].df, tol.optimised);
    });
  });
});

describe('the strata of Yates’s oats', () => {
  type Row = { term: string; df: number; f: number | null; p: number | null };
  const strata = answers['oats_strata'] as { whole: Row[]; within: Row[] };

  it('are those of R aov with Error(), to the last digits', () => {
    const precision = precisionOf(
      fitOf({ y: whole.y, terms: [whole.b, ...both(whole)], random: [random(whole.w)] }),
      'kenward-roger',
    );
    const rows = [...strata.whole, ...strata.within];
    for (const [term, mine] of [
      ['B', 'B'],
      ['V', 'V'],
      ['N', 'N'],
      ['V:N', 'VN'],
    ] as const) {
      const row = rows.find((each) => each.term === term)!;
      const test = termTest(precision, mine)!;
      near(test.f, row.f!, 1e-6);
      near(test.p, row.p!, 1e-6);
      near(test.denDf, mine === 'B' || mine === 'V' ? 10 : 45, 1e-6);
      near(test.scaling, 1, 1e-6);
    }
  });
});

describe('powdery mildew of mungbean (Melloy, Del Ponte & Sparks), five dates', () => {
  type RSerial = { logLik: number; rho: number; sigma2: number; plot?: number; ml?: number };
  const r = answers['mungbean'] as Record<string, RSerial> & {
    satterthwaite: { logLik: number; df: number; se: number };
  };
  const text = readFileSync(
    new URL('../../../../data/open/mungbean-fungicide-timing.csv', import.meta.url),
    'utf8',
  );
  const [head, ...lines] = text.trim().split('\n');
  const dates = head.split(',').slice(3, 8);
  const days = dates.map((date) => (Date.parse(date) - Date.parse(dates[0])) / 86_400_000);
  const long = dates.flatMap((_, r0) =>
    lines.map((line) => {
      const cells = line.split(',');
      return {
        plot: cells[0],
        block: cells[1],
        trt: cells[2],
        round: r0,
        y: Number(cells[3 + r0]),
      };
    }),
  );
  const [plot, block, trt] = (['plot', 'block', 'trt'] as const).map((name) =>
    factorFrom(
      name,
      long.map((row) => row[name]),
    ),
  );
  const round = factorFrom(
    'round',
    long.map((row) => `${row.round}`),
  );
  const base = {
    y: long.map((row) => row.y),
    terms: [block, trt, round, crossFactors('cell', trt, round)],
  };
  const byRound = { subject: plot.codes, times: long.map((row) => row.round) };
  const byDay = { subject: plot.codes, times: long.map((row) => days[row.round]) };

  it.each([
    ['ar', byRound, [], 1],
    ['car', byDay, [], 7],
    ['plot_ar', byRound, [random(plot)], 1],
    ['plot_car', byDay, [random(plot)], 7],
  ] as const)('%s: as gls and lme, or likelier', (name, serial, terms, unit) => {
    const fit = fitOf({ ...base, random: terms, serial });
    const expected = r[name];
    expect(fit.serial?.unit).toBe(unit);
    expect(fit.logLik).toBeGreaterThanOrEqual(expected.logLik - tol.logLik);
    near(fit.logLik, expected.logLik, 1e-4);
    // R's rho is per unit of its clock.
    const rho = expected.rho ** unit;
    const theta = [...(terms.length > 0 ? [expected.plot!] : []), expected.sigma2, rho];
    near(placeAt(fit.model, Float64Array.from(theta), false)?.logLik, expected.logLik, tol.same);
  });

  it('rounds that scatter unlike: as gls with fixed weights', () => {
    const spread = long.map((row) => 1 + (row.round + 1) / 4);
    const fit = fitOf({ ...base, random: [], serial: byRound, spread });
    const { logLik, rho, sigma2 } = r['uneven'];
    near(placeAt(fit.model, Float64Array.of(sigma2, rho), false)?.logLik, logLik, tol.same);
    near(fit.logLik, logLik, tol.logLik);
  });

  it('ar: as gls by maximum likelihood, and glmmTMB', () => {
    near(fitOf({ ...base, random: [], serial: byRound, method: 'ml' }).logLik, r['ar'].ml!, 1e-6);
    const fit = fitOf({ ...base, random: [], serial: byRound });
    near(fit.logLik, r['glmmTMB'].logLik, 1e-5);
    near(fit.serial!.rho, r['glmmTMB'].rho, 1e-3);
    near(fit.residual.variance, r['glmmTMB'].sigma2, 1e-3);
  });

  it('ar: Satterthwaite as by numerical derivatives of the same likelihood in R', () => {
    const fit = fitOf({ ...base, random: [], serial: byRound });
    const cell = crossFactors('cell', trt, round);
    const cells = fitOf({ ...base, terms: [block, cell], random: [], serial: byRound });
    const weights = cell.levels.map((_, i) => (i < 5 ? 0.2 : i < 10 ? -0.2 : 0));
    const [first] = remlContrasts(precisionOf(cells, 'satterthwaite'), [
      { intercept: 0, terms: { cell: weights } },
    ]);
    near(first.se, r.satterthwaite.se, 1e-5);
    near(first.df, r.satterthwaite.df, 1e-5);
    near(fit.logLik, r.satterthwaite.logLik, 1e-6);
  });
});
