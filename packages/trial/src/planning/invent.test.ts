import { createRandom } from '@fairbed/stats';
import { describe, expect, it } from 'vitest';
import { plotValues } from '../outcomes';
import { readTrial } from '../read';
import { drawLayout } from './draw';
import { type Expected, overNormal, typicalLogOdds, logistic } from './expected';
import { type Ground, inventor } from './invent';
import type { LayoutRequest } from './request';

const blocks: LayoutRequest = {
  kind: 'randomised-blocks',
  treatments: ['A', 'B', 'C', 'D'],
  control: 'A',
  blocks: 4,
};

function groundOf(over: Partial<Ground> = {}): Ground {
  const request = over.request ?? blocks;
  const drawn = drawLayout(request, 5);
  if (!drawn.ok) throw new Error(drawn.problem.what);
  return {
    request,
    plots: drawn.plots,
    plantsPerPlot: 5,
    rounds: 1,
    everyDays: 7,
    expected: { kind: 'leaves', percent: 40, leaves: 12 },
    unevenness: { block: 0.4, plot: 0.5, plant: 0.6 },
    ratios: new Map([['B', 0.5]]),
    ...over,
  };
}

/** Mean outcome of each treatment over many trials, with the standard error of the mean. */
function meansOf(ground: Ground, outcome: Parameters<typeof plotValues>[1], trials: number) {
  const random = createRandom(11);
  const make = inventor(ground);
  const found = new Map<string, number[]>();
  for (let i = 0; i < trials; i++) {
    const trial = make(random);
    const { values } = plotValues(trial, outcome);
    for (const id of ground.request.treatments) {
      const mine = trial.plots.filter((plot) => plot.treatment === id);
      const mean = mine.reduce((sum, plot) => sum + (values.get(plot.id) ?? NaN), 0) / mine.length;
      found.set(id, [...(found.get(id) ?? []), mean]);
    }
  }
  return (id: string) => {
    const all = found.get(id) ?? [];
    const mean = all.reduce((a, b) => a + b, 0) / all.length;
    const ss = all.reduce((sum, value) => sum + (value - mean) ** 2, 0);
    return { mean, se: Math.sqrt(ss / (all.length - 1) / all.length) };
  };
}

/** Monte Carlo: four standard errors. */
const near = (found: { mean: number; se: number }, wanted: number) =>
  expect(Math.abs(found.mean - wanted), `${found.mean} for ${wanted}`).toBeLessThan(4 * found.se);

describe('means of made-up trials', () => {
  const cases: readonly [Expected, Parameters<typeof plotValues>[1], number][] = [
    [{ kind: 'leaves', percent: 40, leaves: 12 }, 'incidence-last', 40],
    [{ kind: 'severity', percent: 15 }, 'severity-last', 15],
    [{ kind: 'grades', percent: 55, classes: 6 }, 'grade-index-last', 55],
    [{ kind: 'value', mean: 80, better: 'higher' }, 'value-last', 80],
  ];
  it.each(cases)('are those asked for: %o', (expected, outcome, wanted) => {
    const of = meansOf(groundOf({ expected }), outcome, 400);
    near(of('A'), wanted);
    near(of('B'), wanted / 2);
    near(of('D'), wanted);
  });

  it('follow a curve from a tenth at the first round to what was asked at the last', () => {
    const ground = groundOf({ rounds: 4 });
    near(meansOf(ground, 'incidence-first', 400)('A'), 4);
    near(meansOf(ground, 'incidence-last', 400)('A'), 40);
    near(meansOf(ground, 'incidence-first', 400)('B'), 2);
  });
});

it('takes the log-odds of the typical plant so that the mean over plants is as asked', () => {
  // By 200,000 normals in place of the rule.
  const sd = 1.3;
  const at = typicalLogOdds(0.2, sd);
  const random = createRandom(3);
  let sum = 0;
  for (let i = 0; i < 200_000; i++) sum += logistic(at + sd * random.normal());
  expect(Math.abs(sum / 200_000 - 0.2)).toBeLessThan(4 * (0.2 / Math.sqrt(200_000)));
  // E exp(sd Z) has a closed form.
  expect(overNormal(Math.exp, 0, sd)).toBeCloseTo(Math.exp((sd * sd) / 2), 10);
  expect(typicalLogOdds(0.2, 0)).toBeCloseTo(Math.log(0.25), 10);
});

/** Mean squares of plot values between blocks and within them (all treatments alike). */
function meanSquares(ground: Ground, trials: number) {
  const make = inventor(ground);
  const random = createRandom(8);
  let between = 0;
  let within = 0;
  for (let i = 0; i < trials; i++) {
    const trial = make(random);
    const { values } = plotValues(trial, 'value-last');
    const groups = new Map<string, number[]>();
    for (const { id, block = 'all' } of trial.plots) {
      groups.set(block, [...(groups.get(block) ?? []), values.get(id) ?? NaN]);
    }
    const means = [...groups.values()].map((all) => all.reduce((a, b) => a + b, 0) / all.length);
    const grand = means.reduce((a, b) => a + b, 0) / means.length;
    [...groups.values()].forEach((all, g) => {
      const mean = means[g] ?? NaN;
      between += (all.length * (mean - grand) ** 2) / Math.max(1, groups.size - 1) / trials;
      const df = trial.plots.length - groups.size;
      for (const value of all) within += (value - mean) ** 2 / df / trials;
    });
  }
  return { between, within };
}

describe('the ground', () => {
  const even = {
    expected: { kind: 'value', mean: 100, better: 'lower' },
    unevenness: { block: 8, plot: 6, plant: 10 },
    ratios: new Map<string, number>(),
  } as const;

  it('has the spread of blocks, plots and plants that was asked for', () => {
    const { between, within } = meanSquares(groundOf(even), 3000);
    // Plot values: 6^2 + 10^2 / 5 plants; between four plots of a block 4 x 8^2 more.
    expect(within / (36 + 20)).toBeCloseTo(1, 1);
    expect(between / (36 + 20 + 4 * 64)).toBeCloseTo(1, 1);
  });

  it('is no more even where nothing is blocked', () => {
    const request: LayoutRequest = { ...blocks, kind: 'completely-randomised' };
    const { within } = meanSquares(groundOf({ ...even, request }), 1500);
    expect(within / (64 + 36 + 20)).toBeCloseTo(1, 1);
  });
});

describe('a made-up trial', () => {
  it('is a trial that is read without a fault, the same for the same seed', () => {
    const make = inventor(groundOf({ rounds: 3 }));
    const trial = make(createRandom(1));
    const read = readTrial(JSON.parse(JSON.stringify(trial)));
    expect(read.ok && read.trial).toEqual(trial);
    expect(make(createRandom(1))).toEqual(trial);
    expect(make(createRandom(2))).not.toEqual(trial);
    expect(trial.invented).toBe(true);
    expect(trial.scores).toHaveLength(16 * 5 * 3);
  });

  it('has leaves that stay diseased, and no more of them than leaves', () => {
    const trial = inventor(groundOf({ rounds: 5 }))(createRandom(4));
    const before = new Map<string, number>();
    for (const { plot, plant, diseased = -1, standing } of trial.scores) {
      const key = `${plot} ${plant ?? ''}`;
      expect(diseased).toBeGreaterThanOrEqual(before.get(key) ?? 0);
      expect(diseased).toBeLessThanOrEqual(12);
      expect(standing).toBe(12);
      before.set(key, diseased);
    }
  });

  it('has grades among its classes, more of the worse ones in the control', () => {
    const expected = { kind: 'grades', percent: 50, classes: 4 } as const;
    const make = inventor(groundOf({ expected }));
    const random = createRandom(9);
    const trials = Array.from({ length: 50 }, () => make(random));
    const grades = trials.flatMap(({ scores }) => scores.map(({ grade }) => grade));
    expect([...new Set(grades)].sort()).toEqual([0, 1, 2, 3]);
    expect(trials[0]?.gradeScale).toEqual({ classes: [0, 1, 2, 3], healthy: 0 });
  });

  it('keeps rows and columns of a square, and whole plots of a split plot', () => {
    const square = groundOf({ request: { ...blocks, kind: 'latin-square' } });
    expect(inventor(square)(createRandom(1)).plots[5]).toMatchObject({ row: '2', column: '2' });
    const split = groundOf({
      request: {
        ...blocks,
        kind: 'split-plot',
        wholePlots: [
          { id: 'x', treatments: ['A', 'B'] },
          { id: 'y', treatments: ['C', 'D'] },
        ],
      },
    });
    const { plots } = inventor(split)(createRandom(1));
    expect(new Set(plots.map(({ wholePlot }) => wholePlot)).size).toBe(8);
  });
});
