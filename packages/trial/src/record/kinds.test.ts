import { expect, it } from 'vitest';
import { type isScoreValue, recordKinds } from './kinds';
import { plantThing, readPlantThing, readScoreThing, scoreThing, thingOf } from './things';

const hash = 'a'.repeat(64);
const read = (kind: string, thing: string, value: unknown) => {
  const found = recordKinds.find(({ name }) => name === kind);
  if (!found) throw new Error(`no kind ${kind}`);
  return found.read(thing, value);
};
const cell = { round: 'r1', plot: '101', plant: '3' };
const figure = (field: Parameters<typeof isScoreValue>[0]) => scoreThing({ ...cell, field });
const layout = [{ plot: '101', code: 'K7', treatment: 'none' }];
const draw = { seed: 7, day: '2026-05-01', layout, request: { kind: 'randomised-blocks' } };

it.each([
  ['plan', 'title', 'Two waters'],
  ['plan', 'rounds', { count: 6, everyDays: 7 }],
  ['plan', 'spacing', 0.4],
  ['plan', 'spacing', { inRow: 0.4, betweenRows: 0.5 }],
  ['plan', 'a-field-of-a-newer-version', [1, { two: 3 }]],
  ['draw', '1', draw],
  ['seal', 'seal', { hash, day: '2026-05-02', plan: { question: 'Which?' } }],
  ['reveal', 'reveal', { day: '2026-08-01' }],
  ['round', 'r1', { day: '2026-05-04', done: true, colour: 'not known here' }],
  ['score', figure('standing'), 9],
  ['score', figure('lost'), [{ leaves: 2, why: 'storm' }]],
  ['score', figure('lost'), []],
  ['score', figure('skipped'), 'under a net'],
  ['lost-plot', '101', { why: 'a fox' }],
  ['plant', plantThing('101', '3'), { guard: true }],
  ['spray', 's1', { day: '2026-05-05', treatment: 'copper', time: '18:30', reentryHours: 24 }],
  ['event', 'e1', { day: '2026-05-05', kind: 'hail' }],
  ['harvest', 'h1', { day: '2026-05-05', plot: '101', grams: 300 }],
  ['photo', hash, { day: '2026-05-05', width: 9, height: 9, bytes: 99, type: 'image/jpeg' }],
  ['note', 'n1', { text: 'Wet again', day: '2026-05-05' }],
])('takes a %s, %s', (kind, thing, value) => {
  expect(read(kind, thing, value)).toBeUndefined();
  expect(read(kind, thing, null)).toBeUndefined();
});

it.each([
  ['plan', 'rounds', { count: 0, everyDays: 7 }, 'At count: expected 1 or more, got 0.'],
  ['plan', 'Title', 'x', '"Title" is no plan field.'],
  [
    'plan',
    'treatments',
    [
      { id: 'a', name: 'A', kind: 'product' },
      { id: 'a', name: 'B', kind: 'product' },
    ],
    'a list in which each id stands once',
  ],
  ['draw', '0', draw, 'not the number of a draw'],
  ['draw', '1', { ...draw, layout: [...layout, ...layout] }, 'plots that stand once each'],
  [
    'draw',
    '1',
    { ...draw, layout: [...layout, { plot: '102', code: 'K7', treatment: 'none' }] },
    'plots with a code each',
  ],
  ['seal', 'seal', { hash: 'abc', day: '2026-05-02', plan: {} }, '64 hexadecimal digits'],
  ['reveal', 'again', { day: '2026-08-01' }, 'not "reveal"'],
  ['round', 'r1', { day: '2026-02-30' }, 'a day such as 2026-05-04'],
  ['round', '__proto__', { day: '2026-05-04' }, 'not an id'],
  ['score', figure('standing'), 2.5, 'standing must be a whole number of leaves, 0 or more.'],
  ['score', figure('severity'), 101, 'severity must be a number from 0 to 100.'],
  ['score', figure('severity'), Number.NaN, 'severity must be'],
  ['score', figure('stage'), 100, 'a growth stage'],
  ['score', figure('lost'), [{ leaves: 1, why: 'snails' }], 'storm, pest'],
  ['score', figure('skipped'), '', 'the reason'],
  ['score', 'r1/101/3//mood', 1, 'names no figure'],
  ['score', 'r1/101/standing', 1, 'names no round'],
  ['plant', '101', {}, 'not a plot and a plant'],
  ['spray', 's1', { day: '2026-05-05', treatment: 'c', time: '25:00' }, 'a time such as 07:30'],
  ['photo', 'cat.jpg', {}, 'SHA-256'],
])('refuses a %s, %s, in words', (kind, thing, value, words) => {
  expect(read(kind, thing, value)).toContain(words);
});

it('has one name for one thing, whatever signs its ids hold', () => {
  const place = { round: 'r/1', plot: 'a b%', plant: 'ö/ü', disease: '', field: 'stage' } as const;
  const thing = scoreThing(place);
  expect(readScoreThing(thing)).toEqual({
    round: 'r/1',
    plot: 'a b%',
    plant: 'ö/ü',
    field: 'stage',
  });
  expect(scoreThing({ round: 'r1', plot: '101', field: 'note' })).toBe('r1/101///note');
  expect(readPlantThing(plantThing('1/2', '3'))).toEqual({ plot: '1/2', plant: '3' });
  // Another spelling of the same ids, and a % that begins no sign.
  expect(readPlantThing('%31/3')).toBeUndefined();
  expect(readPlantThing('1%/3')).toBeUndefined();
  expect(thingOf('\ud800')).toBe('%EF%BF%BD');
});

it('knows each kind once', () => {
  const names = recordKinds.map(({ name }) => name);
  expect(new Set(names).size).toBe(names.length);
});
