// Where a person could be hurt: what a trial says of harvests and of plots that were sprayed.
import { readDay } from '@fairbed/field';
import { describe, expect, it } from 'vitest';
import { whatsDue } from './due';
import { trialFrom } from './fold';
import { type Line, ledgerOf, plannedLines } from './ledger.cases';
import { roundState } from './round-state';
import { scoreThing } from './things';

const day = (text: string) => {
  const read = readDay(text);
  if (read === undefined) throw new Error(`${text} is no day`);
  return read;
};
const copper = (more: object): Line => [
  'plan',
  'treatments',
  [
    { id: 'none', name: 'Untreated', kind: 'untreated' },
    { id: 'copper', name: 'Copper', kind: 'product', ...more },
  ],
];
const spray = (id: string, on: string): Line => ['spray', id, { day: on, treatment: 'copper' }];
const score: Line = ['score', scoreThing({ round: 'r', plot: '1', field: 'standing' }), 9];
const begun: readonly Line[] = [...plannedLines, ['round', 'r', { day: '2026-06-01' }], score];
const trialOf = (...lines: Line[]) => trialFrom('t', ledgerOf([...begun, ...lines])).trial;
const cautions = (on: string, ...lines: Line[]) =>
  whatsDue(trialOf(...lines), { day: day(on) }).filter(({ code }) => code === 'harvest-wait');
const reveal: Line = ['reveal', 'reveal', { day: '2026-06-09' }];

describe('a harvest', () => {
  it('is warned of for every plot while nobody knows which were sprayed', () => {
    const blind = cautions('2026-06-05', copper({ preHarvestDays: 14 }), spray('s', '2026-06-02'));
    expect(blind.map(({ what }) => what)).toEqual([
      'Harvest nothing of this trial before 2026-06-16.',
    ]);
    expect(blind[0]?.why).toContain('which plots is not shown before the reveal');
    const known = cautions(
      '2026-06-10',
      copper({ preHarvestDays: 14 }),
      spray('s', '2026-06-02'),
      reveal,
    );
    expect(known.map(({ what }) => what)).toEqual([
      'Harvest nothing that was sprayed with Copper before 2026-06-16.',
    ]);
  });

  it('is warned of although another spray bears a day still to come', () => {
    const lines = [copper({ preHarvestDays: 14 }), spray('a', '2026-06-02')];
    expect(cautions('2026-06-05', ...lines, spray('b', '2027-06-03'))).toEqual(
      cautions('2026-06-05', ...lines),
    );
    expect(cautions('2026-06-05', ...lines)).toHaveLength(1);
  });

  it('is warned of where no pre-harvest interval is written down', () => {
    expect(cautions('2026-06-05', copper({}), spray('s', '2026-06-02'))).toMatchObject([
      {
        when: 'caution',
        what: 'Look at the label for the pre-harvest interval before you harvest anything of this trial.',
      },
    ]);
    expect(cautions('2026-06-05', copper({ preHarvestDays: 0 }), spray('s', '2026-06-02'))).toEqual(
      [],
    );
  });
});

it('a spray is not asked for without a word on an interval nobody wrote down', () => {
  const due = whatsDue(trialOf(copper({ everyDays: 7 })), { day: day('2026-06-05') });
  expect(due.find(({ code }) => code === 'spray-due')?.why).toContain(
    'No pre-harvest interval is written down',
  );
});

it('a treatment taken off the plan keeps its clocks where it was sprayed', () => {
  const gone: Line = ['plan', 'treatments', [{ id: 'none', name: 'Untreated', kind: 'untreated' }]];
  const trial = trialOf(
    copper({ preHarvestDays: 14, reentryHours: 48 }),
    spray('s', '2026-06-05'),
    gone,
  );
  const due = whatsDue(trial, { day: day('2026-06-06'), time: '08:00' });
  expect(due.map(({ code }) => code)).toContain('reentry');
  expect(due.map(({ code }) => code)).toContain('harvest-wait');
});

it('a plot lost on the day of a round and not scored in it is not missing', () => {
  const lost: Line = ['lost-plot', '2', { day: '2026-06-01', why: 'Flooded' }];
  const states = roundState(trialOf(lost), 'r')?.plots.map(({ plot, lost: n }) => [plot, n]);
  expect(states).toContainEqual(['2', 2]);
  const later: Line = ['lost-plot', '2', { day: '2026-06-02', why: 'Flooded' }];
  expect(roundState(trialOf(later), 'r')?.plots[1]).toMatchObject({ missing: 2, lost: 0 });
});
