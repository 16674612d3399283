// Trials made up on normal ground must show differences as often as theory says, and counts as
// often as trials that R made up.
import { readFileSync } from 'node:fs';
import {
  createRandom,
  fitLinear,
  fQuantile,
  noncentralFUpper,
  noncentralTCdf,
  noncentralTUpper,
  tQuantile,
} from '@fairbed/stats';
import {
  drawLayout,
  type Ground,
  inventor,
  type LayoutRequest,
  type OutcomeId,
  plotValues,
} from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { layoutTerms, treatmentFactor } from '../fit';
import { plotTable } from '../table';

type Setting = Omit<Ground, 'plots' | 'plantsPerPlot' | 'rounds' | 'everyDays'>;

/** How often the analysis of variance has p <= 0.05 for treatments. */
function seen(setting: Setting, outcome: OutcomeId, trials: number, seed: number): number {
  const drawn = drawLayout(setting.request, seed);
  if (!drawn.ok) throw new Error(drawn.problem.what);
  const make = inventor({
    ...setting,
    plots: drawn.plots,
    plantsPerPlot: 1,
    rounds: 1,
    everyDays: 7,
  });
  const random = createRandom(seed);
  let hits = 0;
  for (let i = 0; i < trials; i++) {
    const trial = make(random);
    const table = plotTable(trial, 'A');
    const { values } = plotValues(trial, outcome);
    const y = Float64Array.from(table.plots, (plot) => values.get(plot) ?? NaN);
    const response = { table, y, kept: table.plots.map((_, p) => p), baseline: undefined };
    const { anova } = fitLinear({
      y,
      terms: [...layoutTerms(response, false), treatmentFactor(response)],
    });
    if ((anova.at(-2)?.p ?? 1) <= 0.05) hits++;
  }
  return hits / trials;
}

/** Monte Carlo: four standard errors of the difference of two shares. */
const within = (p: number, trials: number, others = Infinity): number =>
  4 * Math.sqrt(p * (1 - p) * (1 / trials + 1 / others)) + 1 / trials;

const normal = { expected: { kind: 'value', mean: 100, better: 'lower' } } as const;

/** Power of the two-sided t-test: Student's t with non-centrality shift (R's power.t.test, strict). */
const tPower = (shift: number, df: number): number => {
  const line = tQuantile(0.975, df);
  return noncentralTUpper(line, df, shift) + noncentralTCdf(-line, df, shift);
};

describe('normal plot values', () => {
  const trials = 1500;

  it.each([6, 9])('two treatments in %i blocks: the non-central t', (blocks) => {
    const request: LayoutRequest = {
      kind: 'randomised-blocks',
      treatments: ['A', 'B'],
      control: 'A',
      blocks,
    };
    const unevenness = { block: 20, plot: 12, plant: 5 };
    const share = seen(
      { ...normal, request, unevenness, ratios: new Map([['B', 0.8]]) },
      'value-last',
      trials,
      21,
    );
    const theory = tPower(20 / (13 * Math.sqrt(2 / blocks)), blocks - 1);
    expect(theory).toBeGreaterThan(0.3);
    expect(Math.abs(share - theory), `${share}, ${theory}`).toBeLessThan(within(theory, trials));
  });

  it('two treatments of six plots without blocks: blocks’ spread joins that of plots', () => {
    const request: LayoutRequest = {
      kind: 'completely-randomised',
      treatments: ['A', 'B'],
      control: 'A',
      blocks: 6,
    };
    const unevenness = { block: 6, plot: 8, plant: 0 };
    const share = seen(
      { ...normal, request, unevenness, ratios: new Map([['B', 0.8]]) },
      'value-last',
      trials,
      22,
    );
    const theory = tPower(20 / (10 * Math.sqrt(2 / 6)), 10);
    expect(Math.abs(share - theory), `${share}, ${theory}`).toBeLessThan(within(theory, trials));
  });

  it('four treatments in five blocks: the non-central F', () => {
    const request: LayoutRequest = {
      kind: 'randomised-blocks',
      treatments: ['A', 'B', 'C', 'D'],
      control: 'A',
      blocks: 5,
    };
    const ratios = new Map([
      ['B', 0.85],
      ['C', 0.9],
    ]);
    const share = seen(
      { ...normal, request, unevenness: { block: 10, plot: 8, plant: 0 }, ratios },
      'value-last',
      trials,
      23,
    );
    const means = [100, 85, 90, 100];
    const mean = means.reduce((a, b) => a + b, 0) / 4;
    const shift = (5 * means.reduce((sum, m) => sum + (m - mean) ** 2, 0)) / 64;
    const theory = noncentralFUpper(fQuantile(0.95, 3, 12), 3, 12, shift);
    expect(theory).toBeGreaterThan(0.3);
    expect(Math.abs(share - theory), `${share}, ${theory}`).toBeLessThan(within(theory, trials));
  });
});

describe('diseased leaves of 72, beside trials that R made up and tested', () => {
  type Scenario = {
    readonly beta: readonly number[];
    readonly block: number;
    readonly plot: number;
    readonly trials: number;
    readonly power: number;
  };
  const file = new URL('../../../stats/oracle/power.json', import.meta.url);
  const { expected } = JSON.parse(readFileSync(file, 'utf8')) as {
    readonly expected: Readonly<Record<string, Scenario>>;
  };
  // A thousand trials of another run of R (4.2.2) by the same model.
  const another: Readonly<Record<string, number>> = {
    null: 0.057,
    moderate: 0.575,
    small: 0.118,
    rare: 0.271,
  };

  /** Mean share over blocks and plots for a typical log-odds, by the midpoint rule. */
  function meanShare(beta: number, sd: number): number {
    let [sum, weights] = [0, 0];
    for (let z = -7; z <= 7; z += 0.01) {
      const weight = Math.exp(-0.5 * z * z);
      weights += weight;
      sum += weight / (1 + Math.exp(-beta - sd * z));
    }
    return sum / weights;
  }

  it.each(Object.entries(expected))('%s', (name, { beta, block, plot, trials, power }) => {
    const treatments = ['A', 'B', 'C', 'D'];
    const shares = beta.map((b) => meanShare(b, Math.hypot(block, plot)));
    const base = shares[0] ?? NaN;
    const setting: Setting = {
      request: { kind: 'randomised-blocks', treatments, control: 'A', blocks: 4 },
      expected: { kind: 'leaves', percent: 100 * base, leaves: 72 },
      unevenness: { block, plot, plant: 0 },
      ratios: new Map(treatments.map((id, i) => [id, (shares[i] ?? NaN) / base])),
    };
    const mine = 800;
    const share = seen(setting, 'incidence-last', mine, 31);
    expect(Math.abs(share - power), `${share}, R ${power}`).toBeLessThan(
      within(power, mine, trials),
    );
    const other = another[name] ?? NaN;
    expect(Math.abs(share - other), `${share}, R ${other}`).toBeLessThan(within(other, mine, 1000));
  });
});
