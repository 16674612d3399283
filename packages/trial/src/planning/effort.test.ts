import { expect, it } from 'vitest';
import { effort } from './effort';

it('16 plots of 5 plants: 80 plants at 30 seconds and 16 walks of 20 are 45.3 minutes', () => {
  const { plants, minutesPerRound, assumed } = effort({
    kind: 'randomised-blocks',
    treatments: ['A', 'B', 'C', 'D'],
    blocks: 4,
    plantsPerPlot: 5,
  });
  expect(plants).toBe(80);
  expect(minutesPerRound).toBe(46);
  expect(assumed).toBe('Assumed: 30 seconds a plant and 20 seconds to find each plot.');
});

it('counts the plots of every design', () => {
  const treatments = ['A', 'B', 'C', 'D'];
  const plants = (rest: Omit<Parameters<typeof effort>[0], 'treatments' | 'plantsPerPlot'>) =>
    effort({ treatments, plantsPerPlot: 1, ...rest }).plants;
  expect(plants({ kind: 'latin-square', blocks: 4 })).toBe(16);
  expect(plants({ kind: 'incomplete-blocks', blocks: 6, perBlock: 2 })).toBe(12);
  expect(plants({ kind: 'completely-randomised', blocks: 0, replicates: [1, 2, 3, 4] })).toBe(10);
  expect(plants({ kind: 'randomised-blocks', blocks: 3, control: 'A', controlPlots: 2 })).toBe(15);
  expect(
    plants({
      kind: 'split-plot',
      blocks: 3,
      wholePlots: [
        { id: 'wide', treatments: ['A', 'B'] },
        { id: 'close', treatments: ['C', 'D'] },
      ],
    }),
  ).toBe(12);
});
