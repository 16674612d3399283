// A trial that comes from a ledger of entries is judged as it is, and what departs from its seal is told.
import { type RecordSource, scoreThing, trialFrom } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { judge } from './judge';

type Line = readonly [kind: string, thing: string, value: unknown];

function ledger(lines: readonly Line[]): RecordSource {
  const all = lines.map(([kind, thing, value], i) => ({
    kind,
    thing,
    entry: { value, who: '', clock: `0mp0000000${String(i).padStart(4, '0')}` },
  }));
  const history = (kind: string, thing: string) =>
    all.filter((one) => one.kind === kind && one.thing === thing).map(({ entry }) => entry);
  const everWritten: RecordSource['everWritten'] = (kind) =>
    [...new Set(all.filter((one) => one.kind === kind).map(({ thing }) => thing))].flatMap(
      (thing) => {
        const last = history(kind, thing).at(-1);
        return last === undefined ? [] : [[thing, last] as const];
      },
    );
  // Nothing of these ledgers is taken back.
  return { history, things: everWritten, everWritten };
}

const blocks = ['A', 'B', 'C', 'D'];
const treatments = ['none', 'copper'];
const layout = blocks.flatMap((block, b) =>
  treatments.map((treatment, t) => ({ plot: `${block}${t}`, code: `K${b}${t}`, treatment, block })),
);
const plan: Line[] = [
  ['plan', 'title', 'Copper on chard'],
  ['plan', 'diseases', [{ id: 'rust', name: 'White rust' }]],
  [
    'plan',
    'treatments',
    [
      { id: 'none', name: 'Untreated', kind: 'untreated' },
      { id: 'copper', name: 'Copper', kind: 'product' },
    ],
  ],
  ['plan', 'control', 'none'],
  ['plan', 'worthHaving', 40],
  ['plan', 'outcome', 'audpc-incidence'],
  ['plan', 'rounds', { count: 3, everyDays: 7, firstDay: '2026-06-01' }],
  ['draw', '1', { seed: 5, day: '2026-05-01', layout, request: { kind: 'randomised-blocks' } }],
];
const rounds = ['2026-06-01', '2026-06-08', '2026-06-15'];
/** Leaves diseased of ten: an untreated plot gains two a round, a sprayed one hardly any. */
const diseased = (plot: string, round: number): number => {
  const block = blocks.indexOf(plot.slice(0, 1));
  return plot.endsWith('0') ? 2 + 2 * round + (block % 2) : 1 + (block % 2);
};
const scored = (round: number): Line[] => [
  ['round', `r${round}`, { day: rounds[round] }],
  ...layout.flatMap(({ plot }): Line[] => [
    ['score', scoreThing({ round: `r${round}`, plot, plant: '1', field: 'standing' }), 10],
    [
      'score',
      scoreThing({ round: `r${round}`, plot, plant: '1', field: 'diseased' }),
      diseased(plot, round),
    ],
  ]),
];
const judged = (lines: readonly Line[]) => judge(trialFrom('t', ledger(lines)).trial);

describe('a trial folded from a ledger', () => {
  const blind = judged([...plan, ...scored(0), ...scored(1), ...scored(2)]);

  it('is judged by its plan, its layout and its scores', () => {
    expect(blind.title).toBe('Copper on chard');
    expect(blind.design).toMatchObject({ kind: 'randomised-blocks', plots: 8, layouts: '16' });
    expect(blind.outcomes[0]?.id).toBe('audpc-incidence');
    expect(blind.verdict.worthHavingPercent).toBe(40);
    // Trapezoids by hand: block A untreated 20, 40, 60 % over 14 days, sprayed 10 % throughout.
    const value = (of: string) => blind.outcomes[0]?.plots.find(({ plot }) => plot === of)?.value;
    expect(value('A0')).toBeCloseTo(7 * 30 + 7 * 50, 9);
    expect(value('A1')).toBeCloseTo(140, 9);
    expect(blind.verdict.cautions.join()).not.toContain('blind');
  });

  it('tells what its ledger says was done otherwise', () => {
    expect(blind.verdict.departures).toEqual([
      'The plan was never sealed, so nothing shows what was decided before scoring.',
    ]);
    const lost = judged([...plan, ...scored(0), ['lost-plot', 'A0', { why: 'a fox' }]]);
    expect(lost.verdict.departures.filter((words) => words.includes('fox'))).toEqual([
      'Plot K00 was lost: a fox.',
    ]);
  });

  it('says which rounds were scored when the codes were known', () => {
    const reveal: Line = ['reveal', 'reveal', { day: '2026-06-10' }];
    const { verdict } = judged([...plan, ...scored(0), ...scored(1), reveal, ...scored(2)]);
    expect(verdict.cautions).toContain(
      'The codes were revealed on 2026-06-10, and figures of the round of 2026-06-15 were entered or changed after that. The other 2 were scored blind.',
    );
    expect(verdict.departures.join()).toContain('before the last planned round (2026-06-15)');
  });
});
