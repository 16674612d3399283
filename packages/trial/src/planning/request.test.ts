import { describe, expect, it } from 'vitest';
import { drawLayout } from './draw';
import { layoutFacts } from './facts';
import type { LayoutRequest } from './request';

const four: LayoutRequest = {
  kind: 'randomised-blocks',
  treatments: ['A', 'B', 'C', 'D'],
  control: 'A',
  blocks: 4,
};
const groups = (...hands: string[]) =>
  hands.map((hand, i) => ({ id: `P${i}`, treatments: Array.from(hand) }));
const split = (...hands: string[]): LayoutRequest => ({
  ...four,
  kind: 'split-plot',
  wholePlots: groups(...hands),
});
const small = (perBlock: number, blocks = 4): LayoutRequest => ({
  ...four,
  kind: 'incomplete-blocks',
  perBlock,
  blocks,
});

const refused: readonly (readonly [string, LayoutRequest, string])[] = [
  ['one treatment', { ...four, treatments: ['A'] }, 'too-few-treatments'],
  ['no treatment', { ...four, treatments: [] }, 'too-few-treatments'],
  [
    '61 treatments',
    { ...four, treatments: Array.from({ length: 61 }, (_, i) => `T${i}`) },
    'too-many-treatments',
  ],
  ['one named twice', { ...four, treatments: ['A', 'B', 'A'] }, 'treatment-twice'],
  ['a control that is none of them', { ...four, control: 'E' }, 'control-unknown'],
  ['half a plot of the control', { ...four, controlPlots: 0.5 }, 'control-plots'],
  [
    'plots of a control nobody named',
    { kind: 'randomised-blocks', treatments: ['A', 'B'], blocks: 3, controlPlots: 2 },
    'control-plots-without-control',
  ],
  [
    'a square with the control twice',
    { ...four, kind: 'latin-square', controlPlots: 2 },
    'control-plots-here',
  ],
  ['no blocks', { ...four, blocks: 0 }, 'blocks'],
  ['two and a half blocks', { ...four, blocks: 2.5 }, 'blocks'],
  [
    'a square of 4 treatments in 3 rows',
    { ...four, kind: 'latin-square', blocks: 3 },
    'square-not-square',
  ],
  [
    'a square of 13',
    { kind: 'latin-square', treatments: Array.from('ABCDEFGHIJKLM'), blocks: 13 },
    'square-too-large',
  ],
  ['replicates in blocks', { ...four, replicates: [1, 2, 3, 4] }, 'replicates-here'],
  [
    'replicates of three in four',
    { ...four, kind: 'completely-randomised', replicates: [1, 2, 3] },
    'replicates',
  ],
  ['a thousand blocks', { ...four, blocks: 1000 }, 'too-many-plots'],
  // Once laid out before it was refused, which took all memory.
  [
    'a thousand million plots of the control',
    { ...four, control: four.treatments[0] ?? '', controlPlots: 1e9 },
    'too-many-plots',
  ],
  ['one practice', split('ABCD'), 'too-few-whole-plots'],
  ['practices of unequal size', split('ABC', 'D'), 'whole-plots-unequal'],
  ['practices of one treatment', split('A', 'B', 'C', 'D'), 'whole-plots-unequal'],
  ['a treatment under two practices', split('AB', 'AC'), 'whole-plot-treatments'],
  ['a treatment of no list', split('AB', 'CE'), 'whole-plot-treatments'],
  ['blocks of one plot', small(1), 'per-block'],
  ['blocks of nobody knows', { ...four, kind: 'incomplete-blocks' }, 'per-block'],
  ['blocks that hold all', small(4), 'blocks-complete'],
  ['a control that fills its block', { ...small(2), controlPlots: 2 }, 'control-fills-block'],
  ['pairs that can’t join four treatments', small(2, 2), 'too-few-blocks'],
];

describe('refuses', () => {
  it.each(refused)('%s', (_what, request, code) => {
    const drawn = drawLayout(request, 1);
    const facts = layoutFacts(request);
    if (drawn.ok || facts.ok) throw new Error('was drawn');
    expect(drawn.problem.code).toBe(code);
    expect(facts.problem).toEqual(drawn.problem);
    expect(drawn.problem.kind).toBe('fault');
    expect(drawn.problem.what).toMatch(/\.$/);
    expect(drawn.problem.do).toMatch(/\.$/);
  });

  it('in words', () => {
    const drawn = drawLayout(small(2, 2), 1);
    expect(drawn.ok ? '' : drawn.problem.what).toBe(
      '4 treatments in blocks of 2 need at least 3 blocks to be compared with one another; there are 2.',
    );
  });
});

describe('draws', () => {
  it.each([
    ['four treatments in four blocks', four],
    ['one block', { ...four, blocks: 1 }],
    ['a control three times in each block', { ...four, controlPlots: 3 }],
    ['two practices', split('AB', 'CD')],
    ['the control and one other in each block', { ...small(2, 3), controlPlots: 1 }],
  ] as const)('%s', (_what, request) => {
    expect(drawLayout(request, 1).ok).toBe(true);
  });
});
