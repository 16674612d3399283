import { describe, expect, it } from 'vitest';
import { leafAccounts } from '../leaf-account';
import { tabulate } from '../tally';
import { checkPlant, plantBefore } from './check-plant';
import { trialFrom } from './fold';
import { type Line, ledgerOf, plannedLines } from './ledger.cases';
import { type ScoreField, scoreThing } from './things';

const lost = (leaves: number) => [{ leaves, why: 'storm' as const }];

describe('the leaf balance as it is typed', () => {
  it.each([
    ['nothing yet', {}, { left: 8 }, []],
    ['no leaves more or fewer', { standing: 8, diseased: 2 }, { left: 8 }, []],
    ['losses written down', { standing: 5, lost: lost(3) }, { left: 8 }, []],
    ['the first round', { standing: 5, diseased: 5, stripped: 5 }, {}, []],
    [
      'three opened',
      { standing: 11 },
      { left: 8, days: 7 },
      [
        'note new-leaves Three leaves more: 8 were left last time, 11 stand now. Were they new? If not, count again.',
      ],
    ],
    [
      'one opened and one lost',
      { standing: 8, lost: lost(1) },
      { left: 8 },
      [
        'note new-leaves One leaf more: 8 were left last time, 8 stand now, 1 written down as lost. Was it new? If not, count again.',
      ],
    ],
    [
      'three are gone',
      { standing: 5 },
      { left: 8 },
      [
        'question leaves-too-few Three leaves too few: 8 were left last time, 5 stand now. Were some lost? Write down how many and why, or count again.',
      ],
    ],
    [
      'one is gone though two are written down',
      { standing: 5, lost: lost(2) },
      { left: 8 },
      [
        'question leaves-too-few One leaf too few: 8 were left last time, 5 stand now, 2 written down as lost. Were some lost? Write down how many and why, or count again.',
      ],
    ],
    [
      'nine in a week are believed',
      { standing: 17 },
      { left: 8, days: 7 },
      [
        'note new-leaves Nine leaves more: 8 were left last time, 17 stand now. Were they new? If not, count again.',
      ],
    ],
    [
      'ten in a week are not',
      { standing: 18 },
      { left: 8, days: 7 },
      [
        'question leaves-too-many Ten leaves too many: 8 were left last time, 18 stand now. Were so many new? If not, count again.',
      ],
    ],
    [
      'nor twenty in a week',
      { standing: 28 },
      { left: 8 },
      [
        'question leaves-too-many 20 leaves too many: 8 were left last time, 28 stand now. Were so many new? If not, count again.',
      ],
    ],
    [
      'more diseased than standing',
      { standing: 7, diseased: 9 },
      {},
      [
        "fault impossible-count 9 diseased leaves of 7 standing: that can't be. Count again, or correct one of the two numbers.",
      ],
    ],
    [
      'more stripped than standing',
      { standing: 7, stripped: 9 },
      {},
      [
        "fault impossible-count 9 leaves stripped of 7 standing: that can't be. Count again, or correct one of the two numbers.",
      ],
    ],
    [
      'healthy leaves stripped',
      { standing: 7, diseased: 1, stripped: 3 },
      {},
      [
        'question healthy-leaves-stripped 3 leaves stripped, but only 1 were diseased. The other 2 count as healthy leaves stripped. Correct the count, or say how many of the stripped leaves were diseased.',
      ],
    ],
    [
      'healthy leaves stripped, and said so',
      { standing: 7, diseased: 1, stripped: 3, strippedDiseased: 1 },
      {},
      [],
    ],
  ])('%s', (_name, now, before, expected) => {
    const told = checkPlant(now, before).map((p) => `${p.kind} ${p.code} ${p.what} ${p.do}`);
    expect(told).toEqual(expected);
  });
});

const figures = (round: string, counts: Partial<Record<ScoreField, unknown>>): Line[] =>
  Object.entries(counts).map(([field, value]) => [
    'score',
    scoreThing({ round, plot: '1', plant: '1', field: field as ScoreField }),
    value,
  ]);
const { trial } = trialFrom(
  't',
  ledgerOf([
    ...plannedLines,
    ['round', 'r1', { day: '2026-06-01' }],
    ['round', 'r2', { day: '2026-06-04' }],
    ['round', 'r3', { day: '2026-06-08' }],
    ['lost-plot', '1', { day: '2026-06-09', why: 'a fox' }],
    ...figures('r1', { standing: 9, diseased: 3, stripped: 2 }),
    ...figures('r2', { stripped: 1, lost: lost(1) }),
    ...figures('r3', { standing: 4, diseased: 1 }),
  ]),
);
const at = (round: string) => plantBefore(trial, { round, plot: '1', plant: '1' });

it('knows what earlier rounds left on the plant, visits without a count among them', () => {
  expect(at('r1')).toBeUndefined();
  expect(at('r2')).toMatchObject({ left: 7, days: 3, score: { round: 'r1', standing: 9 } });
  expect(at('r3')).toMatchObject({ left: 5, days: 4, score: { round: 'r2', stripped: 1 } });
  expect(plantBefore(trial, { round: 'r3', plot: '2', plant: '1' })).toBeUndefined();
});

it('asks what the leaf account asks afterwards', () => {
  const now = { standing: 4, diseased: 1 };
  const [asked] = checkPlant(now, at('r3'));
  expect(asked.code).toBe('leaves-too-few');
  const { accounts, problems } = leafAccounts(tabulate(trial));
  expect(accounts[0].entries.at(-1)?.newLeaves).toBe(-1);
  expect(problems.map(({ code }) => code)).toEqual(['negative-new-leaves']);
});
