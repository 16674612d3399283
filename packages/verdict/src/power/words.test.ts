import { describe, expect, it } from 'vitest';
import { largerTrials, usualTrials } from './others';
import { type PowerQuestion, unevennessOf, usualExpected } from './question';
import type { PowerFigures, Share } from './study';
import { falseCallWords, powerAdvice, powerAssumptions, powerSentence } from './words';

const question: PowerQuestion = {
  request: {
    kind: 'randomised-blocks',
    treatments: ['A', 'B', 'C', 'D'],
    control: 'A',
    blocks: 4,
  },
  plantsPerPlot: 5,
  rounds: 4,
  everyDays: 7,
  expected: usualExpected,
  unevenness: unevennessOf('usual', 'leaves'),
  differencePercent: 50,
  seed: 1,
};

const share = (count: number, low: number, high: number): Share => ({
  count,
  share: count / 1000,
  low,
  high,
});

const figures: PowerFigures = {
  simulations: 1000,
  called: share(620, 0.589, 0.65),
  firm: share(301, 0.273, 0.331),
  falseCall: share(11, 0.006, 0.02),
  outcome: 'audpc-incidence',
};

describe('the sentence', () => {
  it('says the chance out of a hundred trials, with its limits', () => {
    expect(powerSentence(question, figures)).toBe(
      'With 4 blocks of 4 treatments, 5 plants a plot, a treatment that halves the disease would be called in 62 of 100 such trials (59 to 65).',
    );
    expect(falseCallWords(figures)).toBe(
      'Firmly in 30 of 100 such trials (27 to 33). Something that isn’t so would be called in 1 of 100 such trials (1 to 2).',
    );
  });

  it.each([
    [{ differencePercent: 30 }, 'that prevents 30 % of the disease'],
    [{ differencePercent: 100 }, 'that prevents all disease'],
    [{ differencePercent: 0 }, 'a treatment that does nothing would be called'],
    [{ expected: { kind: 'value', mean: 5, better: 'higher' } }, 'that gives 50 % more'],
    [{ plantsPerPlot: 1 }, '1 plant a plot'],
    [{ request: { ...question.request, kind: 'latin-square' } }, 'a Latin square of 4'],
    [
      { request: { ...question.request, kind: 'completely-randomised' } },
      '4 plots of each of 4 treatments',
    ],
    [
      { request: { ...question.request, kind: 'incomplete-blocks', perBlock: 3 } },
      '4 blocks of 3 plots',
    ],
  ] as const)('%o', (over, words) => {
    expect(powerSentence({ ...question, ...over }, figures)).toContain(words);
  });

  it('warns of a chance below one half and is content with four in five', () => {
    const at = (low: number, high: number) =>
      powerAdvice({ ...figures, called: share(500, low, high) });
    expect(at(0.3, 0.4)).toContain('More likely than not');
    expect(at(0.82, 0.9)).toContain('seldom be missed');
    expect(at(0.5, 0.6)).toBeUndefined();
    expect(powerAdvice({ ...figures, simulations: 50, called: share(5, 0, 0.2) })).toBeUndefined();
  });
});

it('names all that was assumed', () => {
  const said = powerAssumptions(question).join(' ');
  for (const part of [
    '40 % of its leaves',
    '12 leaves',
    'blocks 0.4, plots 0.35',
    'a tenth',
    'One value a plot',
  ])
    expect(said).toContain(part);
  expect(powerAssumptions({ ...question, rounds: 1 }).join(' ')).not.toContain('a tenth');
});

describe('larger trials', () => {
  const sizes = (over: Partial<PowerQuestion>) =>
    largerTrials({ ...question, ...over }).map(({ request, plantsPerPlot }) => [
      request.blocks,
      plantsPerPlot,
    ]);

  it('have more blocks, or more plants', () => {
    expect(sizes({})).toEqual([
      [4, 5],
      [4, 10],
      [6, 5],
      [8, 5],
    ]);
    expect(sizes({ request: { ...question.request, blocks: 2 } })).toEqual([
      [2, 5],
      [2, 10],
      [4, 5],
    ]);
  });

  it('of a square have more plants only', () => {
    expect(sizes({ request: { ...question.request, kind: 'latin-square' } })).toEqual([
      [4, 5],
      [4, 10],
    ]);
  });
});

it('simulates a thousand trials, fewer of larger ones and of those that take long to judge', () => {
  expect([usualTrials(question, false), usualTrials(question, true)]).toEqual([1000, 400]);
  const split = { ...question, request: { ...question.request, kind: 'split-plot' as const } };
  expect([usualTrials(split, false), usualTrials(split, true)]).toEqual([100, 40]);
});
