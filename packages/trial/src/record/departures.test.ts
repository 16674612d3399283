import { readDay } from '@fairbed/field';
import { describe, expect, it } from 'vitest';
import { departuresOf } from './departures';
import { type Line, ledgerOf, plannedLines } from './ledger.cases';
import { frozenPlan, sealText } from './plan';
import { scoreThing } from './things';

const day = (text: string) => {
  const read = readDay(text);
  if (read === undefined) throw new Error(`${text} is no day`);
  return read;
};
// The hash is not looked at here; plan.test.ts pins it.
const sealLine = (lines: readonly Line[], on: string): Line => [
  'seal',
  'seal',
  { hash: '0'.repeat(64), day: on, plan: frozenPlan(ledgerOf(lines)) },
  on,
];
const sealedLines = [...plannedLines, sealLine(plannedLines, '2026-05-20')];
const figure = (round: string, on: string, value = 9, plot = '1'): Line => [
  'score',
  scoreThing({ round, plot, plant: '1', field: 'standing' }),
  value,
  on,
];
const round = (id: string, on: string, more: object = {}): Line[] => [
  ['round', id, { day: on, ...more }, on],
  figure(id, on),
];
/** The four rounds of the plan, each on its day. */
const allRounds = [
  ...round('r1', '2026-06-01'),
  ...round('r2', '2026-06-08'),
  ...round('r3', '2026-06-15'),
  ...round('r4', '2026-06-22'),
];
const told = (...lines: Line[]) => departuresOf(ledgerOf([...sealedLines, ...lines]));
const words = (...lines: Line[]) => told(...lines).map(({ code, what }) => `${code} | ${what}`);

it('a trial that went as planned departs from nothing', () => {
  expect(told(...allRounds, ['reveal', 'reveal', { day: '2026-06-23' }, '2026-06-23'])).toEqual([]);
});

const copper = { id: 'copper', name: 'Copper', kind: 'product', rate: { amount: 3, unit: 'g/L' } };
const untreated = { id: 'none', name: 'Untreated', kind: 'untreated' };

describe('a plan changed after the seal is told field by field, old and new', () => {
  it.each([
    [
      'outcome',
      'diseased-cumulative',
      'The main outcome was changed from “Diseased leaves, area under the curve” to “Diseased leaves so far, stripped ones included, last round” on 2026-06-10, after the plan was sealed.',
    ],
    [
      'looks',
      { spending: 'late', rounds: [2, 4] },
      'The looks were added to the plan (the error mostly spent late, after round 2, 4) on 2026-06-10, after the plan was sealed.',
    ],
    [
      'worthHaving',
      50,
      'The smallest difference worth having was changed from 30 % to 50 % on 2026-06-10, after the plan was sealed.',
    ],
    [
      'question',
      'Is copper dear?',
      'The question was changed from “Does copper halve the rust?” to “Is copper dear?” on 2026-06-10, after the plan was sealed.',
    ],
    [
      'question',
      null,
      'The question was taken out of the plan (“Does copper halve the rust?”) on 2026-06-10, after the plan was sealed.',
    ],
    [
      'method',
      'By eye',
      'The method was added to the plan (“By eye”) on 2026-06-10, after the plan was sealed.',
    ],
    [
      'rounds',
      { count: 1, everyDays: 7 },
      'The rounds were changed from 4 rounds, one every 7 days from 2026-06-01 to 1 round, one every 7 days on 2026-06-10, after the plan was sealed.',
    ],
    [
      'stripping',
      'none',
      'The rule for stripping was changed from all diseased leaves to no leaves on 2026-06-10, after the plan was sealed.',
    ],
    [
      'control',
      'copper',
      'The control was changed from “Untreated” to “Copper” on 2026-06-10, after the plan was sealed.',
    ],
    [
      'treatments',
      [untreated, copper],
      'The rate of treatment “Copper” was changed from 2 g/L to 3 g/L on 2026-06-10, after the plan was sealed.',
    ],
    [
      'newer',
      { a: 1 },
      '“newer” was added to the plan ({"a":1}) on 2026-06-10, after the plan was sealed.',
    ],
  ])('%s to %j', (field, value, sentence) => {
    const changed = told(['plan', field, value, '2026-06-10']).filter(
      ({ code }) => code === 'plan-changed',
    );
    expect(changed.map(({ what }) => what)).toEqual([sentence]);
    expect(changed[0]?.day).toBe('2026-06-10');
  });

  it('a treatment taken out or put in', () => {
    const value = [untreated, { id: 'soap', name: 'Soap', kind: 'product' }];
    expect(words(['plan', 'treatments', value, '2026-06-10']).slice(0, 2)).toEqual([
      'plan-changed | Treatment “Soap” was added on 2026-06-10, after the plan was sealed.',
      'plan-changed | Treatment “Copper” was taken out on 2026-06-10, after the plan was sealed.',
    ]);
  });

  it('but not a title, nor a field put back, nor its keys in another order', () => {
    expect(
      told(
        ['plan', 'title', 'Copper', '2026-06-10'],
        ['plan', 'worthHaving', 50],
        ['plan', 'worthHaving', 30],
        ['plan', 'rounds', { firstDay: '2026-06-01', everyDays: 7, count: 4 }],
      ),
    ).toEqual([]);
  });

  it('nor what was changed and sealed again before the first score', () => {
    const lines: Line[] = [...sealedLines, ['plan', 'worthHaving', 50, '2026-05-25']];
    const again = [...lines, sealLine(lines, '2026-05-26'), ...round('r1', '2026-06-01')];
    expect(departuresOf(ledgerOf(again))).toEqual([]);
  });

  it('a seal set again when scores are in hides nothing', () => {
    const lines: Line[] = [
      ...sealedLines,
      ...round('r1', '2026-06-01'),
      ['plan', 'worthHaving', 50, '2026-06-02'],
    ];
    const codes = departuresOf(ledgerOf([...lines, sealLine(lines, '2026-06-03')])).map(
      ({ code }) => code,
    );
    expect(codes).toEqual(['plan-changed', 'sealed-again']);
  });

  it('a seal that holds what no plan holds does not stop it', () => {
    const odd: Line = [
      'seal',
      'seal',
      {
        hash: '0'.repeat(64),
        day: '2026-05-20',
        plan: { crop: null, rounds: 7, treatments: 'x', draw: 3 },
      },
      '2026-05-20',
    ];
    expect(departuresOf(ledgerOf([...plannedLines, odd])).length).toBeGreaterThan(3);
  });
});

it('a layout drawn after the seal, and one written over', () => {
  const first = plannedLines.find(([kind]) => kind === 'draw')?.[2] as object;
  expect(
    words([
      'draw',
      '2',
      { ...first, seed: 9, day: '2026-05-28', why: 'A path was cut.' },
      '2026-05-28',
    ]),
  ).toEqual([
    'redrawn | The layout was drawn again on 2026-05-28 (draw 2), after the plan was sealed: A path was cut.',
  ]);
  expect(words(['draw', '1', { ...first, seed: 9 }, '2026-05-28'])).toEqual([
    'drawn-twice | Layout 1 was drawn more than once: beside the one in use with seed 9.',
  ]);
});

it('scores before the seal, those of a baseline round apart', () => {
  const early = [
    ...plannedLines,
    ...round('r0', '2026-05-10'),
    sealLine(plannedLines, '2026-05-20'),
  ];
  expect(departuresOf(ledgerOf(early)).map(({ code, what }) => [code, what])).toContainEqual([
    'scored-before-seal',
    '1 figure was entered before the plan was sealed on 2026-05-20.',
  ]);
  const baseline = [
    ...plannedLines,
    ...round('r0', '2026-05-10', { baseline: true }),
    sealLine(plannedLines, '2026-05-20'),
    ...allRounds,
  ];
  expect(departuresOf(ledgerOf(baseline))).toEqual([]);
  const never = departuresOf(ledgerOf([...plannedLines, ...allRounds]));
  expect(never.map(({ code }) => code)).toEqual(['not-sealed']);
});

describe('rounds', () => {
  it('more than two days off their day are told, two days off are not', () => {
    expect(
      words(
        ...round('a', '2026-06-03'),
        ...round('b', '2026-06-11'),
        ...round('c', '2026-06-12'),
        ...round('d', '2026-06-22'),
      ),
    ).toEqual([
      'round-late | Round 2 was held 3 days late, on 2026-06-11 in place of 2026-06-08.',
      'round-early | Round 3 was held 3 days early, on 2026-06-12 in place of 2026-06-15.',
    ]);
  });

  it('missed are told when a later one was held, or its time is over', () => {
    const lines = [...round('a', '2026-06-01'), ...round('c', '2026-06-15')];
    expect(words(...lines)).toEqual([
      'round-missed | Round 2, planned for 2026-06-08, was missed.',
    ]);
    const at = (today: string) =>
      departuresOf(ledgerOf([...sealedLines, ...lines]), day(today)).map(({ day: on }) => on);
    expect(at('2026-06-28')).toEqual(['2026-06-08']);
    expect(at('2026-06-29')).toEqual(['2026-06-08', '2026-06-22']);
  });

  it('that nobody planned are told', () => {
    expect(words(...allRounds, ...round('x', '2026-07-06'))).toEqual([
      'round-added | A round that was not planned was held on 2026-07-06.',
    ]);
  });

  it('stripped against the rule are told', () => {
    expect(words(...round('a', '2026-06-01', { stripping: false }))).toEqual([
      'stripping-differs | Diseased leaves were not stripped at the round of 2026-06-01, as the plan says they are.',
    ]);
  });
});

describe('plots', () => {
  it('lost', () => {
    expect(words(['lost-plot', '3', { day: '2026-06-04', why: 'dug up by a fox.' }])).toEqual([
      'plot-lost | Plot R9 was lost on 2026-06-04: dug up by a fox.',
    ]);
  });

  it('sprayed with what is not theirs: which treatment is told after the reveal only', () => {
    const spray: Line = [
      'spray',
      's',
      { day: '2026-06-02', treatment: 'copper', plots: ['1', '2'] },
    ];
    expect(words(spray)).toEqual([
      'wrong-spray | A plot was sprayed with a treatment that is not its own on 2026-06-02. Which one is told after the reveal.',
    ]);
    expect(
      words(...allRounds, spray, ['reveal', 'reveal', { day: '2026-06-23' }, '2026-06-23']),
    ).toEqual(['wrong-spray | Plot K7 (Untreated) was sprayed with Copper on 2026-06-02.']);
  });
});

it('a reveal before the last round, and figures entered or changed after it', () => {
  expect(
    words(
      ...allRounds.slice(0, 6),
      ['reveal', 'reveal', { day: '2026-06-16', why: 'A visitor asked' }, '2026-06-16'],
      ...round('r4', '2026-06-22'),
      figure('r2', '2026-06-22', 5),
      figure('r4', '2026-06-22', 5, '2'),
    ),
  ).toEqual([
    'revealed-early | The codes were revealed on 2026-06-16, before the last planned round (2026-06-22): A visitor asked.',
    'scored-after-reveal | 2 figures were entered after the codes were revealed on 2026-06-16 (round of 2026-06-22).',
    'changed-after-reveal | 1 figure was changed after the codes were revealed on 2026-06-16 (round of 2026-06-08).',
  ]);
});

it('sealText is what is sealed', () => {
  expect(JSON.parse(sealText(ledgerOf(plannedLines)))).toEqual(frozenPlan(ledgerOf(plannedLines)));
});
