import { describe, expect, it } from 'vitest';
import { createRandom } from '../random';
import type { Factor } from '../linear/design';
import { fitLinear } from '../linear/fit';
import { fitReml, type RemlFit } from './fit';
import { precisionOf } from './information';
import { gradientAt, placeAt } from './likelihood';
import { remlAbbott, remlAllPairs, remlMeans, remlVersusControl } from './means';
import { abbottEfficacy } from '../linear/efficacy';
import { leastSquaresMeans } from '../linear/lsmeans';
import type { RemlInput } from './model';
import { remlResiduals } from './residuals';
import { termTest } from './wald';
import { expectedInformation, observedInformation, piecesOf } from './information';
import { residualsOf } from '../linear/diagnostics';

const tol = { closedForm: 1e-8, optimised: 1e-5, difference: 1e-5 };

const factor = (name: string, codes: readonly number[], levels: number): Factor => ({
  kind: 'factor',
  name,
  codes,
  levels: Array.from({ length: levels }, (_, i) => `${name}${i}`),
});

/** Blocks of whole plots of plots: the practice on the whole plot, the treatment within. */
function splitPlot(blocks: number, practices: number, within: number) {
  const rows: { block: number; practice: number; trt: number; whole: number }[] = [];
  for (let block = 0; block < blocks; block++) {
    for (let practice = 0; practice < practices; practice++) {
      for (let trt = 0; trt < within; trt++) {
        rows.push({ block, practice, trt, whole: block * practices + practice });
      }
    }
  }
  return rows;
}

type Row = ReturnType<typeof splitPlot>[number];

function drawn(rows: readonly Row[], seed: number, sd: { whole: number; plot: number }) {
  const random = createRandom(seed);
  const wholes = Array.from({ length: 200 }, () => sd.whole * random.normal());
  return rows.map(({ whole, block }) => 20 + block + wholes[whole] + sd.plot * random.normal());
}

function inputOf(rows: readonly Row[], y: readonly number[], belowZero = true): RemlInput {
  const by = (name: keyof Row) => {
    const codes = rows.map((row) => row[name]);
    return factor(name, codes, Math.max(...codes) + 1);
  };
  return {
    y,
    terms: [by('block'), by('practice'), by('trt')],
    random: [{ name: 'whole', codes: rows.map(({ whole }) => whole) }],
    belowZero,
  };
}

function known(input: RemlInput): RemlFit {
  const fit = fitReml(input);
  if (!fit.known) throw new Error(fit.why);
  return fit;
}

function near(got: number | undefined, expected: number | undefined, relative: number): void {
  expect(got).toBeDefined();
  expect(Math.abs(got! - expected!)).toBeLessThanOrEqual(
    relative * Math.max(1, Math.abs(expected!)),
  );
}

describe('a balanced split plot', () => {
  const rows = splitPlot(4, 2, 4);

  it.each([1, 2, 3, 4, 5, 6])('gives the classical strata, whatever the sign (seed %i)', (seed) => {
    // Small whole-plot variation: some seeds ask for a component below zero.
    const y = drawn(rows, seed, { whole: 0.2, plot: 2 });
    const input = inputOf(rows, y);
    const precision = precisionOf(known(input), 'kenward-roger');
    const whole = factor(
      'whole',
      rows.map((row) => row.whole),
      8,
    );
    const [block, practice, trt] = input.terms;
    const { anova } = fitLinear({ y, terms: [block, practice, whole, trt] });
    const [, p, w, t, residual] = anova;
    const forPractice = termTest(precision, 'practice')!;
    near(forPractice.f, p.ms! / w.ms!, tol.closedForm);
    near(forPractice.denDf, w.df, tol.optimised);
    const forTrt = termTest(precision, 'trt')!;
    near(forTrt.f, t.ms! / residual.ms!, tol.closedForm);
    near(forTrt.denDf, residual.df, tol.optimised);
    near(forTrt.p, t.p, tol.closedForm);
    const mean = remlMeans(precision, 'practice');
    const pair = remlAllPairs(mean).pairs[0];
    near(pair.se, Math.sqrt((2 * w.ms!) / 16), tol.closedForm);
    near(pair.df, w.df, tol.optimised);
  });

  it('stops at exactly zero where it may not go below', () => {
    const seeds = Array.from({ length: 30 }, (_, i) => i + 1);
    const zeros = seeds.filter((seed) => {
      const y = drawn(rows, seed, { whole: 0.1, plot: 2 });
      const free = known(inputOf(rows, y)).components[0].variance;
      const held = known(inputOf(rows, y, false)).components[0].variance;
      if (free < 0) expect(held).toBe(0);
      else near(held, free, tol.optimised);
      return free < 0;
    });
    expect(zeros.length).toBeGreaterThan(3);
  });
});

describe('without random effects', () => {
  it('is least squares', () => {
    const rows = splitPlot(4, 2, 4).filter((_, i) => i % 7 !== 3);
    const y = drawn(rows, 5, { whole: 1, plot: 1 });
    const { terms } = inputOf(rows, y);
    const fit = known({ y, terms, random: [] });
    const linear = fitLinear({ y, terms });
    near(fit.residual.variance, linear.spread.known ? linear.spread.ms : 0, tol.closedForm);
    const test = termTest(precisionOf(fit, 'kenward-roger'), 'trt')!;
    near(test.f, linear.anova[2].f, tol.closedForm);
    near(test.denDf, linear.spread.df, tol.closedForm);
    residualsOf(linear).forEach((one, i) => {
      const mine = remlResiduals(fit)[i];
      near(mine.residual, one.residual, tol.closedForm);
      near(mine.studentised, one.studentised, tol.closedForm);
      near(mine.leverage, one.leverage, tol.closedForm);
    });
  });
});

describe('slopes and curvature', () => {
  const rows = splitPlot(4, 2, 4).filter((_, i) => i !== 9 && i !== 20);
  const y = drawn(rows, 3, { whole: 2, plot: 1 });
  const days = [0, 7, 16, 21];
  const fit = known({
    ...inputOf(rows, y),
    terms: inputOf(rows, y).terms.slice(1, 2),
    random: [{ name: 'block', codes: rows.map(({ block }) => block) }],
    serial: {
      subject: rows.map(({ whole }) => whole),
      times: rows.map(({ trt }) => days[trt]),
    },
  });
  const at = Float64Array.of(0.7, 2.1, 0.35);
  const logLik = (theta: Float64Array): number => placeAt(fit.model, theta, false)!.logLik;
  const moved = (i: number, by: number, from = at): Float64Array =>
    from.map((v, k) => (k === i ? v + by : v));

  it('are those of the log-likelihood', () => {
    const { slope } = gradientAt(fit.model, placeAt(fit.model, at, false)!);
    slope.forEach((value, i) => {
      const h = 1e-5;
      near(value, (logLik(moved(i, h)) - logLik(moved(i, -h))) / (2 * h), tol.difference);
    });
  });

  it('observed information is minus the Hessian', () => {
    const here: RemlFit = { ...fit, place: placeAt(fit.model, at, false)! };
    const information = observedInformation(here, expectedInformation(here, piecesOf(here)));
    const slopes = (theta: Float64Array): Float64Array =>
      gradientAt(fit.model, placeAt(fit.model, theta, false)!).slope;
    for (let i = 0; i < 3; i++) {
      const h = 1e-5;
      const up = slopes(moved(i, h));
      const down = slopes(moved(i, -h));
      for (let j = 0; j < 3; j++) {
        near(information[i * 3 + j], (down[j] - up[j]) / (2 * h), tol.difference);
      }
    }
  });
});

describe('what a fit does not hang on', () => {
  const rows = splitPlot(5, 3, 4).filter((_, i) => ![3, 17, 18, 44].includes(i));
  const y = drawn(rows, 11, { whole: 1.5, plot: 1 });
  const of = (input: RemlInput) => {
    const fit = known(input);
    const precision = precisionOf(fit, 'kenward-roger');
    const means = remlMeans(precision, 'trt');
    return { fit, test: termTest(precision, 'trt')!, control: remlVersusControl(means, 0), means };
  };
  const base = of(inputOf(rows, y));

  it('the order of rows and the names of blocks and whole plots', () => {
    const order = rows.map((_, i) => i);
    createRandom(4).shuffle(order);
    const shuffled = order.map((i) => rows[i]);
    const renamed = shuffled.map((row) => ({
      ...row,
      block: 4 - row.block,
      whole: 77 - 3 * row.whole,
    }));
    const other = of(
      inputOf(
        renamed,
        order.map((i) => y[i]),
      ),
    );
    near(other.fit.logLik, base.fit.logLik, tol.optimised);
    near(other.test.f, base.test.f, tol.optimised);
    near(other.test.denDf, base.test.denDf, tol.optimised);
    other.control.comparisons.forEach((one, i) => {
      near(one.difference, base.control.comparisons[i].difference, tol.optimised);
      near(one.p, base.control.comparisons[i].p, tol.optimised);
    });
  });

  it('the names of treatments', () => {
    const renamed = rows.map((row) => ({ ...row, trt: (row.trt + 1) % 4 }));
    const other = of(inputOf(renamed, y));
    near(other.test.f, base.test.f, tol.optimised);
    base.means.means.slice(0, 4).forEach((mean, i) => {
      near(other.means.means[(i + 1) % 4].estimate, mean.estimate, tol.optimised);
      near(other.means.means[(i + 1) % 4].se, mean.se, tol.optimised);
    });
  });

  it.each([
    [1000, -3],
    [-1e-6, 1e-3],
  ])('the unit: y -> %d y + %d', (a, b) => {
    const other = of(
      inputOf(
        rows,
        y.map((value) => a * value + b),
      ),
    );
    near(other.test.f, base.test.f, tol.optimised);
    near(other.test.denDf, base.test.denDf, tol.optimised);
    other.control.comparisons.forEach((one, i) => {
      const mine = base.control.comparisons[i];
      near(one.difference! / a, mine.difference, tol.optimised);
      near(one.p, mine.p, tol.optimised);
    });
  });
});

describe('what it refuses', () => {
  const rows = splitPlot(3, 2, 2);

  it('values without variation, with the reason', () => {
    const fit = fitReml(
      inputOf(
        rows,
        rows.map(() => 4),
      ),
    );
    expect(fit).toMatchObject({ known: false, why: 'no-variation' });
  });

  it('two rows of one subject at the same time', () => {
    const y = drawn(rows, 1, { whole: 1, plot: 1 });
    const serial = { subject: rows.map(() => 0), times: rows.map(() => 1) };
    expect(() => fitReml({ ...inputOf(rows, y), serial })).toThrow(/two rows at time 1/);
  });

  it('tests of a fit by maximum likelihood', () => {
    const y = drawn(rows, 1, { whole: 1, plot: 1 });
    expect(() =>
      precisionOf(known({ ...inputOf(rows, y), method: 'ml' }), 'satterthwaite'),
    ).toThrow(RangeError);
  });

  it('to give a variance to what the layout can’t tell apart, and says which', () => {
    const y = drawn(rows, 1, { whole: 1, plot: 1 });
    const input = inputOf(rows, y);
    const fit = known({
      ...input,
      random: [
        ...input.random,
        { name: 'again', codes: rows.map(({ whole }) => 50 - whole) },
        { name: 'row', codes: rows.map((_, i) => i) },
        { name: 'blocks', codes: rows.map(({ block }) => block) },
      ],
    });
    expect(fit.leftOut).toEqual([
      { name: 'again', why: 'same-as-another' },
      { name: 'row', why: 'residual' },
      { name: 'blocks', why: 'within-fixed' },
    ]);
  });
});

describe('p-values where nothing has an effect', () => {
  it('lie evenly in split plots with plots lost, both strata', () => {
    const trials = 400;
    const rows = splitPlot(4, 3, 3).filter((_, i) => i !== 4 && i !== 21);
    const counts: Record<string, number[]> = { practice: [], trt: [] };
    for (let seed = 1; seed <= trials; seed++) {
      const fit = known(inputOf(rows, drawn(rows, seed, { whole: 0.7, plot: 1 })));
      const precision = precisionOf(fit, 'kenward-roger');
      for (const name of Object.keys(counts)) counts[name].push(termTest(precision, name)!.p);
    }
    for (const ps of Object.values(counts)) {
      const sorted = ps.sort((a, b) => a - b);
      const distance = Math.max(
        ...sorted.map((p, i) => Math.max((i + 1) / trials - p, p - i / trials)),
      );
      // 0.1 % point of Kolmogorov's distance.
      expect(distance).toBeLessThan(1.95 / Math.sqrt(trials));
    }
  });
});

describe('incomplete blocks', () => {
  // Six treatments in ten blocks of three, every pair in two blocks (Cochran & Cox 1957, plan 11.4;
  // from memory, the pairs are counted below).
  const blocks = ['012', '013', '024', '035', '045', '125', '134', '145', '235', '234'];
  const rows = blocks.flatMap((hand, block) => Array.from(hand, (trt) => ({ block, trt: +trt })));
  const trt = factor(
    'trt',
    rows.map((row) => row.trt),
    6,
  );
  const codes = rows.map(({ block }) => block);

  it('are balanced', () => {
    for (let a = 0; a < 6; a++) {
      for (let b = 0; b < a; b++) {
        expect(
          blocks.filter((hand) => hand.includes(`${a}`) && hand.includes(`${b}`)),
        ).toHaveLength(2);
      }
    }
  });

  it('p-values lie evenly where nothing has an effect, whatever blocks differ by', () => {
    for (const sd of [0.3, 2]) {
      const trials = 300;
      const ps = Array.from({ length: trials }, (_, i) => {
        const random = createRandom(i + 1);
        const level = blocks.map(() => sd * random.normal());
        const y = rows.map(({ block }) => level[block] + random.normal());
        const fit = known({ y, terms: [trt], random: [{ name: 'block', codes }] });
        return termTest(precisionOf(fit, 'kenward-roger'), 'trt')!.p;
      }).sort((a, b) => a - b);
      const distance = Math.max(
        ...ps.map((p, i) => Math.max((i + 1) / trials - p, p - i / trials)),
      );
      expect(distance).toBeLessThan(1.95 / Math.sqrt(trials));
    }
  });
});

describe('percentages of the control', () => {
  it('without random effects are those of least squares, Fieller’s limits too', () => {
    const rows = splitPlot(4, 2, 4).filter((_, i) => i % 7 !== 3);
    const y = drawn(rows, 5, { whole: 1, plot: 1 });
    const { terms } = inputOf(rows, y);
    const means = remlMeans(precisionOf(known({ y, terms, random: [] }), 'kenward-roger'), 'trt');
    const expected = abbottEfficacy(leastSquaresMeans(fitLinear({ y, terms }), 'trt'), 0);
    remlAbbott(means, 0).forEach((one, i) => {
      near(one.percent, expected[i].percent, tol.closedForm);
      near(one.low, expected[i].low, tol.closedForm);
      near(one.high, expected[i].high, tol.closedForm);
    });
  });
});
