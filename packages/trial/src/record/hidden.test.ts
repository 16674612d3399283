// What somebody could do to a trial without its report saying so, each told.
import { describe, expect, it } from 'vitest';
import { departuresOf } from './departures';
import { trialFrom } from './fold';
import { type Line, ledgerOf, plannedLines } from './ledger.cases';
import { frozenPlan } from './plan';
import { scoreThing } from './things';

const sealLine = (lines: readonly Line[], on: string): Line => [
  'seal',
  'seal',
  { hash: '0'.repeat(64), day: on, plan: frozenPlan(ledgerOf(lines)) },
  on,
];
const sealedLines = [...plannedLines, sealLine(plannedLines, '2026-05-20')];
const thing = (round: string, plot: string) =>
  scoreThing({ round, plot, plant: '1', field: 'standing' });
const figure = (round: string, on: string, value: number | null, plot = '1'): Line => [
  'score',
  thing(round, plot),
  value,
  on,
];
const round = (id: string, on: string): Line[] => [
  ['round', id, { day: on }, on],
  figure(id, on, 9, '1'),
  figure(id, on, 9, '2'),
];
const allRounds = [
  ...round('r1', '2026-06-01'),
  ...round('r2', '2026-06-08'),
  ...round('r3', '2026-06-15'),
  ...round('r4', '2026-06-22'),
];
const reveal: Line = ['reveal', 'reveal', { day: '2026-06-23' }, '2026-06-23'];
const words = (lines: readonly Line[]) =>
  departuresOf(ledgerOf(lines)).map(({ code, what }) => `${code} | ${what}`);
const blindOf = (lines: readonly Line[]) =>
  trialFrom('t', ledgerOf(lines)).trial.rounds.map(({ id, blind }) => [id, blind]);

describe('after the reveal', () => {
  const shown = [...sealedLines, ...allRounds, reveal];

  it('a figure taken back is a figure changed', () => {
    expect(words([...shown, figure('r2', '2026-06-24', null, '2')])).toEqual([
      'changed-after-reveal | 1 figure was changed after the codes were revealed on 2026-06-23 (round of 2026-06-08).',
    ]);
    expect(blindOf([...shown, figure('r2', '2026-06-24', null, '2')])).toContainEqual([
      'r2',
      false,
    ]);
  });

  it('a plot said to be lost is told, whatever day it is said to have been lost', () => {
    const lost: Line = ['lost-plot', '2', { day: '2026-06-10', why: 'Flooded' }, '2026-06-24'];
    expect(words([...shown, lost])).toEqual([
      'plot-lost | Plot M3 was lost on 2026-06-10: Flooded. That was written down after the codes were revealed on 2026-06-23.',
    ]);
    const before: Line = ['lost-plot', '2', lost[2], '2026-06-22'];
    expect(words([...sealedLines, ...allRounds, before, reveal])).toEqual([
      'plot-lost | Plot M3 was lost on 2026-06-10: Flooded.',
    ]);
  });

  it('a round taken back or put on another day is told', () => {
    expect(words([...shown, ['round', 'r4', null, '2026-06-24']])).toContainEqual(
      'changed-after-reveal | 1 round was changed or taken back after the codes were revealed on 2026-06-23 (2026-06-22).',
    );
    // To call a round done changes nothing of it.
    expect(words([...shown, ['round', 'r4', { day: '2026-06-22', done: true }]])).toEqual([]);
  });
});

describe('a reveal', () => {
  it('counts from the first, where two devices reveal', () => {
    const lines = [
      ...sealedLines,
      ...allRounds.slice(0, 6),
      ['reveal', 'reveal', { day: '2026-06-09' }, '2026-06-09'] as Line,
      ...allRounds.slice(6),
      reveal,
    ];
    expect(trialFrom('t', ledgerOf(lines)).trial.reveal?.day).toBe('2026-06-09');
    expect(blindOf(lines)).toEqual([
      ['r1', true],
      ['r2', true],
      ['r3', false],
      ['r4', false],
    ]);
  });

  it('can’t be taken back: what was seen stays seen', () => {
    const lines: Line[] = [...sealedLines, ...allRounds, reveal, ['reveal', 'reveal', null]];
    expect(trialFrom('t', ledgerOf(lines)).trial.reveal?.day).toBe('2026-06-23');
  });
});

describe('before the seal', () => {
  it('scores that were taken back had shown how it was going', () => {
    const peeked: Line[] = [
      ...plannedLines,
      ['round', 'r1', { day: '2026-05-10' }, '2026-05-10'],
      figure('r1', '2026-05-10', 9),
      figure('r1', '2026-05-11', null),
      ['round', 'r1', null, '2026-05-11'],
    ];
    expect(
      words([...peeked, sealLine(peeked, '2026-05-20'), ...allRounds.slice(3)]),
    ).toContainEqual(
      'scored-before-seal | Scoring had begun when the plan was sealed on 2026-05-20.',
    );
  });
});

describe('a layout', () => {
  const draw = plannedLines.at(-1)?.[2] as { readonly layout: readonly { treatment: string }[] };
  const other = {
    ...draw,
    seed: 8,
    layout: draw.layout.map((plot, i) => ({
      ...plot,
      treatment: draw.layout[3 - i]?.treatment === 'none' ? 'copper' : 'none',
    })),
  };

  it('drawn twice under one number is told, and the sealed one is in use', () => {
    const lines: Line[] = [...sealedLines, ['draw', '1', other, '2026-05-25'], ...allRounds];
    const { trial } = trialFrom('t', ledgerOf(lines));
    expect(trial.plots.map(({ treatment }) => treatment)).toEqual([
      'none',
      'copper',
      'copper',
      'none',
    ]);
    expect(trial.design.seed).toBe(7);
    expect(words(lines)).toContainEqual(
      'drawn-twice | Layout 1 was drawn more than once: beside the one in use with seed 8.',
    );
  });

  it('taken back before the seal and drawn again is told', () => {
    const redrawn: Line[] = [
      ...plannedLines,
      ['draw', '1', null, '2026-05-03'],
      ['draw', '1', other, '2026-05-03'],
    ];
    const lines = [...redrawn, sealLine(redrawn, '2026-05-20'), ...allRounds];
    expect(words(lines)).toEqual([
      'drawn-twice | Layout 1 was drawn more than once: beside the one in use with seed 7.',
    ]);
  });
});

describe('whoever opened the page for spraying', () => {
  const opened = (who: string): Line => [
    'note',
    'spraying-1',
    { text: 'The page for spraying was opened.', day: '2026-06-02' },
    '2026-06-02',
    who,
  ];
  const scored = (who: string): Line => ['score', thing('r2', '3'), 9, '2026-06-08', who];
  const first = [...sealedLines, ...round('r1', '2026-06-01')];

  it('and scored after it was not blind', () => {
    const round2: Line = ['round', 'r2', { day: '2026-06-08' }];
    expect(words([...first, opened('Ann'), round2, scored('Ann')])).toEqual([
      'sprayer-scored | The page for spraying, which shows which plot has which treatment, was opened on 2026-06-02 by Ann, and 1 figure was entered after it by the same person: not blind.',
    ]);
    expect(words([...first, opened('Ann'), round2, scored('Bob')])).toEqual([]);
    expect(words([...first, opened(''), round2, scored('')])).toHaveLength(1);
    expect(words([...first, opened('Ann')])).toEqual([]);
  });

  it('makes the round not blind, and that round alone', () => {
    const round2: Line = ['round', 'r2', { day: '2026-06-08' }];
    const blind = (who: string) => blindOf([...first, opened('Ann'), round2, scored(who)]);
    expect(blind('Ann')).toEqual([
      ['r1', true],
      ['r2', false],
    ]);
    expect(blind('Bob')).toEqual([
      ['r1', true],
      ['r2', true],
    ]);
  });
});

describe('before the reveal', () => {
  it('a wrong spray does not say of which plot: where one treatment is sprayed, that tells', () => {
    const spray: Line = ['spray', 's', { day: '2026-06-02', treatment: 'copper', plots: ['1'] }];
    const told = words([...sealedLines, ...allRounds, spray]);
    expect(told).toEqual([
      'wrong-spray | A plot was sprayed with a treatment that is not its own on 2026-06-02. Which one is told after the reveal.',
    ]);
  });
});
