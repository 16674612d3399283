import { betaQuantile } from '@fairbed/stats';
import type { LayoutRequest } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { type PowerQuestion, unevennessOf, usualExpected } from './question';
import { type PowerFigures, powerStudy } from './study';

const four: LayoutRequest = {
  kind: 'randomised-blocks',
  treatments: ['A', 'B', 'C', 'D'],
  control: 'A',
  blocks: 4,
};

const usual: PowerQuestion = {
  request: four,
  plantsPerPlot: 5,
  rounds: 1,
  everyDays: 7,
  expected: usualExpected,
  unevenness: unevennessOf('usual', 'leaves'),
  differencePercent: 50,
  seed: 1,
};

function figures(over: Partial<PowerQuestion>, trials: number): PowerFigures {
  const begun = powerStudy({ ...usual, ...over });
  if (!begun.ok) throw new Error(begun.problem.what);
  begun.study.run(trials);
  const found = begun.study.figures();
  if (found === undefined) throw new Error('Nothing was simulated.');
  return found;
}

const refusalOf = (over: Partial<PowerQuestion>): string => {
  const begun = powerStudy({ ...usual, ...over });
  return begun.ok ? '' : begun.problem.what;
};

/** Clopper & Pearson, one side: how large the share must at least be. */
const atLeast = (hits: number, trials: number): number =>
  hits === 0 ? 0 : betaQuantile(0.05, hits, trials - hits + 1);

describe('trials in which nothing works', () => {
  it.each([
    ['diseased leaves', {}],
    ['areas under curves', { rounds: 4 }],
    ['grades', { expected: { kind: 'grades', percent: 40, classes: 5 } }],
    [
      'values',
      {
        expected: { kind: 'value', mean: 50, better: 'higher' },
        unevenness: unevennessOf('usual', 'value'),
      },
    ],
    ['no blocks', { request: { ...four, kind: 'completely-randomised' } }],
  ] as const)('call something in at most 5 of 100: %s', (_what, over) => {
    const { falseCall, called } = figures({ ...over, differencePercent: 0 }, 600);
    expect(atLeast(falseCall.count, 600), `${falseCall.count} of 600`).toBeLessThanOrEqual(0.05);
    // Nothing truly differs, so nothing can be called rightly.
    expect(called.count).toBe(0);
  });
});

describe('the chance', () => {
  it('has exact limits, and firm calls are among the calls', () => {
    const { called, firm, simulations } = figures({}, 200);
    expect(simulations).toBe(200);
    expect(called.share).toBe(called.count / 200);
    expect(called.low).toBeCloseTo(betaQuantile(0.025, called.count, 201 - called.count), 10);
    expect(called.high).toBeGreaterThan(called.share);
    expect(firm.count).toBeLessThanOrEqual(called.count);
    expect(firm.count).toBeGreaterThan(0);
  });

  it('is the same for the same seed however the work is cut up, another for another', () => {
    const whole = figures({}, 90);
    const begun = powerStudy(usual);
    if (!begun.ok) throw new Error(begun.problem.what);
    for (const part of [1, 23, 2, 40, 24]) begun.study.run(part);
    expect(begun.study.figures()).toEqual(whole);
    expect(figures({ seed: 2 }, 90)).not.toEqual(whole);
  });

  it('grows with the blocks, with the plants less, and falls with the patchiness of the bed', () => {
    const trials = 150;
    const share = (over: Partial<PowerQuestion>): number => figures(over, trials).called.share;
    const base = share({});
    const blocks = share({ request: { ...four, blocks: 8 } });
    const plants = share({ plantsPerPlot: 10 });
    const patchy = share({ unevenness: unevennessOf('patchy', 'leaves') });
    expect(plants).toBeGreaterThan(base - 0.05);
    expect(blocks).toBeGreaterThan(plants + 0.1);
    expect(patchy).toBeLessThan(base - 0.1);
  });

  it('counts a gain where more is better', () => {
    const { called, outcome } = figures(
      {
        expected: { kind: 'value', mean: 50, better: 'higher' },
        unevenness: unevennessOf('even', 'value'),
        differencePercent: 60,
      },
      60,
    );
    expect(outcome).toBe('value-last');
    expect(called.share).toBeGreaterThan(0.8);
  });

  it('is nothing where the control has hardly any disease (V2)', () => {
    const { called } = figures(
      {
        expected: { kind: 'leaves', percent: 2, leaves: 12 },
        unevenness: unevennessOf('even', 'leaves'),
        differencePercent: 100,
      },
      50,
    );
    expect(called.count).toBe(0);
  });

  it('is nothing where the layout can never reach 0.05 (V4)', () => {
    const request = { ...four, treatments: ['A', 'B'] };
    const { called } = figures({ request, differencePercent: 90 }, 50);
    expect(called.count).toBe(0);
  });

  it('judges by the outcome that the plan names, where such a trial can give it', () => {
    expect(figures({ rounds: 4 }, 1).outcome).toBe('audpc-incidence');
    expect(figures({ rounds: 4, outcome: 'incidence-last' }, 1).outcome).toBe('incidence-last');
    expect(figures({ outcome: 'stripped-total' }, 1).outcome).toBe('incidence-last');
  });

  it('is found for incomplete blocks and squares too', () => {
    const incomplete: LayoutRequest = { ...four, kind: 'incomplete-blocks', perBlock: 3 };
    expect(figures({ request: incomplete }, 5).simulations).toBe(5);
    expect(figures({ request: { ...four, kind: 'latin-square' } }, 30).simulations).toBe(30);
  });
});

describe('is refused, in words', () => {
  it.each([
    ['a design with a fault', { request: { ...four, treatments: ['A'] } }, 'at least 2'],
    ['one plot each', { request: { ...four, blocks: 1 } }, 'one plot'],
    ['no plants', { plantsPerPlot: 0 }, 'Plants in a plot'],
    ['no rounds', { rounds: 0 }, 'rounds'],
    ['far too many scores', { plantsPerPlot: 1000, rounds: 100 }, 'scores a trial'],
    ['more than all', { differencePercent: 120 }, '0 to 100 %'],
    ['all diseased', { expected: { kind: 'severity', percent: 100 } }, 'below 100 %'],
    ['half a leaf', { expected: { kind: 'leaves', percent: 40, leaves: 0.5 } }, 'Leaves'],
    ['one grade', { expected: { kind: 'grades', percent: 40, classes: 1 } }, 'grades'],
    ['a value of nothing', { expected: { kind: 'value', mean: 0, better: 'lower' } }, 'above 0'],
    ['a spread below nothing', { unevenness: { block: 0, plot: -1, plant: 0 } }, 'spread of plots'],
  ] as const)('%s', (_what, over, words) => {
    expect(refusalOf(over)).toContain(words);
  });
});
