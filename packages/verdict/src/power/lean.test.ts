// The lean decision is that of `judge`: the same trials, judged in full, get the same calls.
import { createRandom } from '@fairbed/stats';
import { drawLayout, inventor, type LayoutRequest, mainOutcome, tabulate } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import type { Apart, Evidence } from '../evidence';
import { judge } from '../judge';
import { layoutFor } from '../layout';
import { plotTable } from '../table';
import { judgedEvidence, type Laid } from './judged';
import { leanDecider, modelFirst } from './lean';

type Case = {
  readonly name: string;
  readonly request: LayoutRequest;
  readonly trials: number;
  /** Mean of B over that of the control. */
  readonly ratio: number;
};

const four = { treatments: ['A', 'B', 'C', 'D'], control: 'A', blocks: 4 } as const;

const cases: readonly Case[] = [
  {
    name: 'randomised blocks, walked',
    request: { ...four, kind: 'randomised-blocks' },
    trials: 50,
    ratio: 0.35,
  },
  {
    name: 'randomised blocks, drawn',
    request: { ...four, kind: 'randomised-blocks', blocks: 6 },
    trials: 24,
    ratio: 0.5,
  },
  {
    name: 'more plots of the control',
    request: { ...four, kind: 'randomised-blocks', blocks: 3, controlPlots: 2 },
    trials: 30,
    ratio: 0.3,
  },
  {
    name: 'two treatments in six blocks',
    request: { kind: 'randomised-blocks', treatments: ['A', 'B'], control: 'A', blocks: 6 },
    trials: 200,
    ratio: 0.6,
  },
  {
    name: 'no blocks',
    request: { ...four, kind: 'completely-randomised', treatments: ['A', 'B', 'C'] },
    trials: 100,
    ratio: 0.4,
  },
  {
    name: 'a Latin square',
    request: { ...four, kind: 'latin-square' },
    trials: 120,
    ratio: 0.2,
  },
];

/** The model comes first here; the layout's test is the same. */
const others: readonly Case[] = [
  {
    name: 'incomplete blocks',
    request: { ...four, kind: 'incomplete-blocks', blocks: 8, perBlock: 3 },
    trials: 25,
    ratio: 0.4,
  },
];

const isCalled = ({ grade }: Apart): boolean => grade === 'fair' || grade === 'firm';

/** What counts of a decision: who is called, which way, how firmly. */
const calls = ({ better, worse }: Evidence): string =>
  [better.filter(isCalled), worse.filter(isCalled)]
    .map((list) =>
      list
        .map(({ name, grade }) => `${name} ${grade}`)
        .sort()
        .join(', '),
    )
    .join(' | ');

function setUp({ request, ratio }: Case) {
  const drawn = drawLayout(request, 3);
  if (!drawn.ok) throw new Error(drawn.problem.what);
  const make = inventor({
    request,
    plots: drawn.plots,
    plantsPerPlot: 5,
    rounds: 1,
    everyDays: 7,
    expected: { kind: 'leaves', percent: 40, leaves: 12 },
    unevenness: { block: 0.3, plot: 0.3, plant: 0.3 },
    ratios: new Map([['B', ratio]]),
  });
  const first = make(createRandom(1));
  const table = plotTable(first, 'A');
  const laid: Laid = {
    table,
    layout: layoutFor(first, table),
    outcome: mainOutcome(first) ?? 'incidence-last',
    control: 'A',
    fewestPlots: request.blocks,
  };
  return { make, laid };
}

describe('the lean decision', () => {
  it.each([...cases, ...others])('calls whom the full one calls: $name', (one) => {
    const { make, laid } = setUp(one);
    const decide = others.includes(one) ? modelFirst(laid) : leanDecider(laid);
    const random = createRandom(77);
    const seen = new Set<string>();
    let differ = 0;
    for (let i = 0; i < one.trials; i++) {
      const tally = tabulate(make(random));
      const [lean, full] = [calls(decide(tally)), calls(judgedEvidence(laid, tally))];
      seen.add(full);
      if (lean !== full) differ++;
    }
    // It is a test only where some are called and some not.
    expect(seen.size).toBeGreaterThan(1);
    // Drawn p-values within a thousandth of a line may fall on either side of it.
    expect(differ, `${differ} of ${one.trials}`).toBeLessThanOrEqual(Math.ceil(one.trials / 50));
  });
});

it('is judged in full as `judge` judges it: step of evidence and who is named', () => {
  const { make, laid } = setUp(cases[0]);
  const random = createRandom(6);
  for (let i = 0; i < 15; i++) {
    const trial = make(random);
    const { verdict } = judge(trial, { brief: true });
    const evidence = judgedEvidence(laid, tabulate(trial));
    expect(verdict.grade).toBe(evidence.grade);
    const leader = evidence.better.at(0);
    if (leader !== undefined) expect(verdict.sentence).toMatch(new RegExp(`^${leader.name} `));
  }
});
