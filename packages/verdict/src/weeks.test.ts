import { readFileSync } from 'node:fs';
import { createRandom } from '@fairbed/stats';
import { type DesignKind, plotValues, tabulate, type Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { layoutFor } from './layout';
import type { MethodInput } from './method-input';
import { plotTable } from './table';
import { overTimeOf, weeksMethod } from './weeks';

// nlme stops where the log-likelihood is flat to about 1e-6.
const tol = { optimised: 1e-3, same: 1e-6 };

type Scored = { readonly plot: string; readonly day: number; readonly value: number };
type Laid = { readonly id: string; readonly treatment: string; readonly block: string };

function inputOf(
  plots: readonly Laid[],
  scores: readonly Scored[],
  design: DesignKind = 'randomised-blocks',
  control?: string,
): MethodInput {
  const treatments = [...new Set(plots.map(({ treatment }) => treatment))].sort();
  const days = [...new Set(scores.map(({ day }) => day))].sort((a, b) => a - b);
  const trial: Trial = {
    format: 'fairbed-trial',
    version: 1,
    id: 'made',
    title: 'made',
    diseases: [{ id: 'd', name: 'disease' }],
    beds: [],
    plants: [],
    times: [],
    sprays: [],
    events: [],
    harvests: [],
    treatments: treatments.map((id) => ({ id, name: id, kind: 'unstated' })),
    design: { kind: design },
    blocks: [...new Set(plots.map(({ block }) => block))].map((id) => ({ id, name: id })),
    plots: plots.map((plot) => ({ ...plot })),
    rounds: days.map((at) => ({ id: `r${at}`, at })),
    valueMeasure: { name: 'disease', better: 'lower' },
    scores: scores.map(({ plot, day, value }) => ({ plot, round: `r${day}`, value })),
  };
  const tally = tabulate(trial);
  const name = control ?? treatments[0];
  const table = plotTable(trial, name);
  return {
    tally,
    table,
    layout: layoutFor(trial, table),
    control: name,
    outcome: plotValues(tally, 'value-last'),
    seed: 1,
  };
}

function near(
  got: number | null | undefined,
  expected: number | undefined,
  relative: number,
): void {
  expect(typeof got).toBe('number');
  const size = Math.max(1e-3, Math.abs(expected ?? 0));
  expect(Math.abs((got ?? NaN) - (expected ?? NaN))).toBeLessThanOrEqual(relative * size);
}

function known(input: MethodInput) {
  const found = overTimeOf(input);
  if (!found.known) throw new Error(found.why);
  return found.value;
}

describe('powdery mildew of mungbean (Melloy, Del Ponte & Sparks), grades as numbers', () => {
  const text = readFileSync(
    new URL('../../../data/open/mungbean-fungicide-timing.csv', import.meta.url),
    'utf8',
  );
  const [head = '', ...lines] = text.trim().split('\n');
  const dates = head.split(',').slice(3, 8);
  const plots = lines.map((line) => {
    const [id = '', block = '', treatment = ''] = line.split(',');
    return { id, block, treatment };
  });
  const scores = lines.flatMap((line) =>
    dates.map((date, r) => ({
      plot: line.split(',')[0] ?? '',
      day: (Date.parse(date) - Date.parse(dates[0] ?? '')) / 86_400_000,
      value: Number(line.split(',')[3 + r]),
    })),
  );
  type R = { rho: number; sigma2: number; means: { trt: string; emmean: number; SE: number }[] };
  const { expected } = JSON.parse(
    readFileSync(new URL('../../stats/oracle/reml.json', import.meta.url), 'utf8'),
  ) as { expected: { mungbean: { late: R } } };
  const r = expected.mungbean.late;
  const input = inputOf(plots, scores, 'randomised-blocks', 'control');
  const over = known(input);

  it('leaves the date out at which no plot had any, and says so', () => {
    expect(over.rounds.map(({ day, spread }) => [day, spread])).toEqual([
      [14, 1],
      [22, 1],
      [29, 1],
      [36, 1],
    ]);
    const found = overTimeOf(input);
    expect(found.known && found.notes.join()).toMatch(/day 0: plots of a treatment do not differ/);
  });

  it('finds what gls with corCAR1 finds: here no variance of plots is left beside the fading', () => {
    expect(over.sd['plot']).toBe(0);
    expect(over.fading?.every).toBe(7);
    // R's rho is per day.
    near(over.fading?.rho, r.rho ** 7, tol.optimised);
    near((over.sd['residual'] ?? 0) ** 2, r.sigma2, tol.optimised);
    for (const { name, mean, se } of over.treatments) {
      const mine = r.means.find(({ trt }) => trt === name);
      near(mean, mine?.emmean, tol.optimised);
      near(se, mine?.SE, tol.optimised);
    }
  });

  it('weighs treatments against the control over all rounds', () => {
    const found = weeksMethod(input);
    if (!found.known) throw new Error(found.why);
    const { versusControl, p, says } = found.value;
    const best = versusControl.find(({ name }) => name === '5wks+2');
    const mean = (trt: string) => r.means.find((one) => one.trt === trt)?.emmean ?? NaN;
    near(best?.estimate, mean('5wks+2') - mean('control'), tol.optimised);
    expect(best?.better).toBe(true);
    expect(p).toBeLessThan(1e-6);
    expect(says).toMatch(/^Over 4 rounds, .*5wks\+2 lay 2\.9 below control/);
    expect(says).toMatch(/courses are not alike/);
    const last = over.atLastRound.find(({ name }) => name === '5wks+2');
    const at = (trt: string): number => {
      const mine = lines.filter((line) => line.split(',')[2] === trt);
      return mine.reduce((sum, line) => sum + Number(line.split(',')[7]), 0) / mine.length;
    };
    near(last?.difference, at('5wks+2') - at('control'), tol.same);
  });
});

describe('trials made up', () => {
  const plots = [0, 1, 2, 3].flatMap((b) =>
    ['A', 'B', 'C', 'D'].map((treatment) => ({ id: `${b}${treatment}`, treatment, block: `${b}` })),
  );
  const days = [0, 7, 14, 21, 28];

  /** What lasts in a plot has standard deviation 1, what fades 1 too, rho 0.5 a week. */
  function made(seed: number, widening = 1): Scored[] {
    const random = createRandom(seed);
    return plots.flatMap(({ id }) => {
      const lasting = random.normal();
      let fading = random.normal();
      return days.map((day, r) => {
        if (r > 0) fading = 0.5 * fading + Math.sqrt(0.75) * random.normal();
        return { plot: id, day, value: 20 + day + widening ** r * (lasting + fading) };
      });
    });
  }

  it('without effects: claims stay near the stated rate, at any spread of the rounds', () => {
    const trials = 30;
    for (const widening of [1, 1.6]) {
      let claims = 0;
      let partings = 0;
      for (let seed = 1; seed <= trials; seed++) {
        const { tests } = known(inputOf(plots, made(seed, widening)));
        if ((tests.treatment?.p ?? 1) <= 0.05) claims++;
        if ((tests.treatmentByTime?.p ?? 1) <= 0.05) partings++;
      }
      // 6 of 30 or more come up in 1 of 300 such studies at a true 5 % (binomial).
      expect(claims).toBeLessThan(6);
      expect(partings).toBeLessThan(6);
    }
  });

  it('does not hang on the order of plots or the names of blocks, and follows the unit', () => {
    const scores = made(3);
    const base = known(inputOf(plots, scores));
    const renamed = plots
      .toReversed()
      .map((plot) => ({ ...plot, block: `bed ${9 - Number(plot.block)}` }));
    const other = known(
      inputOf(
        renamed,
        scores.map((one) => ({ ...one, value: 5 - 100 * one.value })),
      ),
    );
    near(other.fading?.rho, base.fading?.rho, 1e-5);
    near(other.tests.treatment?.f, base.tests.treatment?.f, 1e-5);
    near(other.tests.treatment?.errorDf, base.tests.treatment?.errorDf, 1e-4);
    other.versusControl.forEach(({ difference, p }, i) => {
      near((difference ?? NaN) / -100, base.versusControl[i]?.difference ?? undefined, 1e-5);
      near(p, base.versusControl[i]?.p ?? undefined, 1e-4);
    });
  });

  it('gives rounds a spread of their own where they scatter unlike', () => {
    const found = overTimeOf(inputOf(plots, made(3, 1.6)));
    if (!found.known) throw new Error(found.why);
    const spreads = found.value.rounds.map(({ spread }) => spread);
    expect(Math.max(...spreads)).toBeGreaterThan(2 * Math.min(...spreads));
    expect(found.notes.join()).toMatch(/more than twice as widely/);
    const [early, late] = [0, 4].map((r) => {
      const course = found.value.treatments[0].course[r];
      return (course.high ?? 0) - (course.low ?? 0);
    });
    expect(late).toBeGreaterThan(2 * early);
  });

  it('with two rounds has no fading, and with scores missing still answers', () => {
    const scores = made(4).filter(({ day }) => day < 14);
    expect(known(inputOf(plots, scores)).fading).toBeNull();
    const holed = made(4).filter((_, i) => i % 9 !== 4);
    const over = known(inputOf(plots, holed));
    for (const { low, high, p } of over.versusControl) {
      expect([low, high, p].every((value) => typeof value === 'number')).toBe(true);
    }
  });

  it('refuses one round, split plots and single plots, with a reason', () => {
    const once = made(5).filter(({ day }) => day === 7);
    expect(overTimeOf(inputOf(plots, once))).toMatchObject({ known: false });
    expect(overTimeOf(inputOf(plots, made(5), 'split-plot'))).toMatchObject({ known: false });
    const single = plots.filter(({ block }) => block === '0');
    const few = made(5).filter(({ plot }) => plot.startsWith('0'));
    expect(overTimeOf(inputOf(single, few, 'unreplicated'))).toMatchObject({ known: false });
  });
});
