import { readDay } from '@fairbed/field';
import { describe, expect, it } from 'vitest';
import { namesOf } from './blind';
import { whatsDue } from './due';
import { trialFrom } from './fold';
import { type Line, ledgerOf, plannedLines } from './ledger.cases';
import { frozenPlan } from './plan';
import { roundState } from './round-state';
import { plantThing, type ScoreField, scoreThing } from './things';

const day = (text: string) => {
  const read = readDay(text);
  if (read === undefined) throw new Error(`${text} is no day`);
  return read;
};
const seal: Line = [
  'seal',
  'seal',
  { hash: '0'.repeat(64), day: '2026-05-20', plan: frozenPlan(ledgerOf(plannedLines)) },
  '2026-05-20',
];
const trialOf = (...lines: Line[]) =>
  trialFrom('t', ledgerOf([...plannedLines, seal, ...lines])).trial;
const figure = (
  round: string,
  plot: string,
  plant: string,
  field: ScoreField = 'standing',
  value: unknown = 9,
): Line => ['score', scoreThing({ round, plot, ...(plant === '' ? {} : { plant }), field }), value];
/** A round in which every plant but those named was scored. */
const round = (id: string, on: string, more: object = {}, missed: string[] = []): Line[] => [
  ['round', id, { day: on, ...more }, on],
  ...['1', '2', '3', '4'].flatMap((plot) =>
    ['1', '2']
      .filter((plant) => !missed.includes(`${plot}.${plant}`))
      .map((plant) => figure(id, plot, plant)),
  ),
];

describe('the state of a round', () => {
  it('counts plants scored, skipped, missing and lost, guards left out', () => {
    const trial = trialOf(
      ...round('r1', '2026-06-01', {}, ['1.1', '1.2', '2.1', '3.1', '3.2']),
      figure('r1', '1', '1', 'skipped', 'a wasp nest'),
      ['lost-plot', '3', { day: '2026-05-30', why: 'a fox' }],
      ['plant', plantThing('4', 'g'), { guard: true }],
      ['plant', plantThing('1', '2'), { lost: { why: 'dug up' } }],
    );
    const state = roundState(trial, 'r1');
    expect(state).toMatchObject({ scored: 3, skipped: 1, missing: 1, lost: 3, complete: false });
    expect(state?.plots[0]?.plants).toEqual([
      { plot: '1', plant: '1', state: 'skipped', why: 'a wasp nest' },
      { plot: '1', plant: '2', state: 'lost' },
    ]);
    expect(state?.plots[1]?.plants[0]).toEqual({ plot: '2', plant: '1', state: 'missing' });
    expect(roundState(trial, 'r9')).toBeUndefined();
  });

  it('takes a plot scored or skipped in whole as such, and a plot lost later as standing', () => {
    const trial = trialOf(
      ['round', 'r1', { day: '2026-06-01' }],
      figure('r1', '1', ''),
      figure('r1', '2', '', 'skipped', 'flooded'),
      figure('r1', '3', '1'),
      figure('r1', '3', '2'),
      ['lost-plot', '4', { day: '2026-06-02', why: 'a fox' }],
    );
    const state = roundState(trial, 'r1');
    expect(state?.plots.map(({ scored, skipped, missing }) => [scored, skipped, missing])).toEqual([
      [1, 0, 0],
      [0, 2, 0],
      [2, 0, 0],
      [0, 0, 2],
    ]);
  });
});

describe('what is due', () => {
  const due = (on: string, ...lines: Line[]) =>
    whatsDue(trialOf(...lines), { day: day(on), time: '08:00' }).map(
      ({ code, what, why }) => `${code} | ${what} | ${why}`,
    );

  it.each([
    ['2026-05-30', [], ['round-next | Score next on 2026-06-01. | It is round 1 of 4, in 2 days.']],
    [
      '2026-06-01',
      [],
      ['round-due | Walk the bed and score every plot. | It is round 1 of 4, planned for today.'],
    ],
    [
      '2026-06-04',
      [],
      [
        'round-overdue | Walk the bed and score every plot. | It is round 1 of 4, planned for 2026-06-01: 3 days ago.',
      ],
    ],
    [
      '2026-06-01',
      round('r1', '2026-06-01'),
      ['round-next | Score next on 2026-06-08. | It is round 2 of 4, in 7 days.'],
    ],
    // The second round was missed; the third is the one that can still be held.
    [
      '2026-06-16',
      round('r1', '2026-06-01'),
      [
        'round-overdue | Walk the bed and score every plot. | It is round 3 of 4, planned for 2026-06-15: 1 day ago.',
      ],
    ],
  ])('on %s', (on, lines, expected) => {
    expect(due(on, ...lines)).toEqual(expected);
  });

  it('a round begun and not finished, or finished with plots missed, for two days', () => {
    const open = round('r1', '2026-06-01', {}, ['2.1', '2.2', '4.1']);
    expect(due('2026-06-01', ...open)[0]).toBe(
      'round-open | Finish the round of 2026-06-01. | 3 plants of 8 are not scored yet.',
    );
    const done = round('r1', '2026-06-01', { done: true }, ['2.1', '2.2', '4.1']);
    expect(due('2026-06-03', ...done)[0]).toBe(
      'plot-missed | Score plots M3 and T4, or say why they were skipped. | 3 plants were missed in the round of 2026-06-01.',
    );
    expect(due('2026-06-04', ...done)[0]).toContain('round-next');
  });

  const copper = (more: object): Line => [
    'plan',
    'treatments',
    [
      { id: 'none', name: 'Untreated', kind: 'untreated' },
      { id: 'copper', name: 'Copper', kind: 'product', everyDays: 10, ...more },
    ],
  ];
  const sprayed: Line = [
    'spray',
    's',
    { day: '2026-06-01', time: '07:00', treatment: 'copper', reentryHours: 4 },
  ];

  it('a spray, when its interval is over, and not when harvest is too near', () => {
    const lines = [...round('r1', '2026-06-01'), sprayed, copper({ preHarvestDays: 7 })];
    expect(due('2026-06-10', ...lines).join('\n')).not.toContain('spray-due');
    expect(due('2026-06-11', ...lines)).toContain(
      'spray-due | Spray Copper as the label says, if the weather allows. | It was last sprayed on 2026-06-01; the plan says every 10 days.',
    );
    expect(due('2026-06-11', ...lines, ['plan', 'harvestDay', '2026-06-17'])[0]).toBe(
      "spray-forbidden | Don't spray Copper any more. | Harvest is planned for 2026-06-17, 6 days off; the pre-harvest interval is 7 days.",
    );
    expect(due('2026-06-11', ...lines, ['plan', 'harvestDay', '2026-06-18']).join()).toContain(
      'spray-due',
    );
  });

  it('the waits before people and harvest, before all else', () => {
    const lines = [...round('r1', '2026-06-01'), sprayed, copper({ preHarvestDays: 7 })];
    expect(due('2026-06-01', ...lines).slice(0, 2)).toEqual([
      'reentry | Wait until then, or go in only with the protection the label names. | Sprayed on 2026-06-01 at 07:00; the re-entry interval of 4 hours runs until 2026-06-01 11:00.',
      'harvest-wait | Harvest nothing of this trial before 2026-06-08. | Plots were sprayed on 2026-06-01, and the pre-harvest interval is 7 days; which plots is not shown before the reveal.',
    ]);
    expect(due('2026-06-08', ...lines).join()).not.toContain('harvest-wait');
  });

  it('the beginning and the end', () => {
    const codes = (trial: Parameters<typeof whatsDue>[0], on: string) =>
      whatsDue(trial, { day: day(on) }).map(({ code }) => code);
    expect(codes(trialFrom('t', ledgerOf([])).trial, '2026-05-01')).toEqual(['plan-unfinished']);
    expect(codes(trialFrom('t', ledgerOf(plannedLines)).trial, '2026-05-25')).toEqual([
      'seal-due',
      'round-next',
    ]);
    const all = ['2026-06-01', '2026-06-08', '2026-06-15', '2026-06-22'].flatMap((on, i) =>
      round(`r${i}`, on),
    );
    expect(codes(trialOf(...all), '2026-06-22')).toEqual(['reveal-due']);
    expect(
      codes(trialOf(...all, ['reveal', 'reveal', { day: '2026-06-22' }]), '2026-06-22'),
    ).toEqual(['verdict-ready']);
  });
});

it('names a plot by its code alone until the reveal', () => {
  const trial = trialOf();
  const names = namesOf(trial);
  expect(names.revealed).toBe(false);
  expect(names.plot('2')).toEqual({ id: '2', code: 'M3' });
  expect(JSON.stringify(names.plots)).not.toMatch(/copper|none/i);
  expect(names.withCode(' m3')).toEqual({ id: '2', code: 'M3' });
  expect(namesOf(trial, true).plot('2')?.treatment?.name).toBe('Copper');
  const shown = trialOf(['reveal', 'reveal', { day: '2026-06-22' }]);
  expect(namesOf(shown).plot('2')?.treatment?.id).toBe('copper');
  expect(names.plot('9')).toBeUndefined();
});
