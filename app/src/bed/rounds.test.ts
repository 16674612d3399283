import { readDay } from '@fairbed/field';
import { createBook, createPen, type Line } from '@fairbed/notebook';
import { recordKinds, scoreThing, type Trial, trialFrom } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { liveBook } from '../book/liveBook';
import { beginRound, revealWouldBeEarly, roundRows, roundToScore, roundUnderWay } from './rounds';

const day = (text: string) => {
  const read = readDay(text);
  if (read === undefined) throw new Error(text);
  return read;
};

const planned: readonly Line[] = [
  { kind: 'plan', thing: 'plantsPerPlot', value: 1 },
  { kind: 'plan', thing: 'stripping', value: 'all-diseased' },
  { kind: 'plan', thing: 'treatments', value: [{ id: 'U', name: 'Untreated', kind: 'untreated' }] },
  { kind: 'plan', thing: 'rounds', value: { count: 4, everyDays: 7, firstDay: '2026-05-04' } },
  {
    kind: 'draw',
    thing: '1',
    value: {
      seed: 1,
      day: '2026-05-01',
      layout: [{ plot: 'p1', code: 'K7F', treatment: 'U' }],
      request: { kind: 'completely-randomised' },
    },
  },
];

const score = (round: string): Line => ({
  kind: 'score',
  thing: scoreThing({ round, plot: 'p1', plant: '1', field: 'diseased' }),
  value: 2,
});

const held = (round: string, on: string): readonly Line[] => [
  { kind: 'round', thing: round, value: { day: on } },
  score(round),
];

function bookOf(lines: readonly Line[]) {
  const book = createBook(recordKinds);
  createPen({ writer: 'a', who: () => 'Ann', now: () => 0, book }).writeAll(lines);
  return book;
}

const trialOf = (...lines: readonly Line[]): Trial =>
  trialFrom('t', bookOf([...planned, ...lines])).trial;

const openWith = (...lines: readonly Line[]) =>
  liveBook('t', bookOf([...planned, ...lines]).entries(), {
    store: { append: () => Promise.resolve() },
    writer: 'b',
    now: () => 1,
    onSaved: () => undefined,
    onUnsaved: () => undefined,
  }).open;

describe('the rows of rounds', () => {
  it('tell held, missed and due rounds apart', () => {
    const trial = trialOf(...held('r1', '2026-05-04'), ...held('r2', '2026-05-20'));
    expect(
      roundRows(trial, day('2026-05-25')).map(({ number, state, late }) => [number, state, late]),
    ).toEqual([
      [1, 'held', 0],
      [2, 'missed', undefined],
      [3, 'held', 2],
      [4, 'today', undefined],
    ]);
  });

  it('call a round overdue until the next is due', () => {
    const trial = trialOf();
    const stateOn = (text: string) => roundRows(trial, day(text)).map(({ state }) => state);
    expect(stateOn('2026-05-10')).toEqual(['overdue', 'ahead', 'ahead', 'ahead']);
    expect(stateOn('2026-05-11')).toEqual(['missed', 'today', 'ahead', 'ahead']);
  });

  it('stand without a plan in the order of their days', () => {
    const book = bookOf([...held('r2', '2026-05-20'), ...held('r1', '2026-05-04')]);
    const rows = roundRows(trialFrom('t', book).trial, day('2026-05-25'));
    expect(rows.map(({ round, number }) => [round?.id, number])).toEqual([
      ['r1', undefined],
      ['r2', undefined],
    ]);
  });
});

describe('beginning a round', () => {
  it('writes its day, the rule of stripping and that it is blind', () => {
    const open = openWith();
    expect(beginRound(open, day('2026-05-04'))).toBe('2026-05-04');
    expect(open.book.current('round', '2026-05-04')).toEqual({
      day: '2026-05-04',
      stripping: true,
      blind: true,
    });
  });

  it('is not blind once the codes are revealed', () => {
    const open = openWith({ kind: 'reveal', thing: 'reveal', value: { day: '2026-05-03' } });
    beginRound(open, day('2026-05-04'));
    expect(open.book.current('round', '2026-05-04')).toMatchObject({ blind: false });
  });

  it('gives the round of that day where there is one', () => {
    const open = openWith(...held('r1', '2026-05-04'));
    expect(beginRound(open, day('2026-05-04'))).toBe('r1');
    expect(beginRound(open, day('2026-05-11'))).toBe('2026-05-11');
  });

  it('does not take the name of a round that was taken back', () => {
    const open = openWith(...held('2026-05-04', '2026-05-04'), {
      kind: 'round',
      thing: '2026-05-04',
      value: null,
    });
    expect(beginRound(open, day('2026-05-04'))).toBe('2026-05-04-2');
  });

  it('on two devices that do not know of each other keeps two weeks apart, and one day together', () => {
    const [one, two] = [openWith(), openWith()];
    const first = beginRound(one, day('2026-05-04'));
    expect(beginRound(two, day('2026-05-11'))).not.toBe(first);
    expect(beginRound(two, day('2026-05-04'))).toBe(first);
  });
});

describe('a round under way', () => {
  it('is the last begun by today that is not done', () => {
    const trial = trialOf(...held('r1', '2026-05-04'), ...held('r2', '2026-05-11'));
    expect(roundUnderWay(trial, day('2026-05-05'))?.id).toBe('r1');
    expect(roundUnderWay(trial, day('2026-05-12'))?.id).toBe('r2');
    const done = trialOf({ kind: 'round', thing: 'r1', value: { day: '2026-05-04', done: true } });
    expect(roundUnderWay(done, day('2026-05-05'))).toBeUndefined();
  });
});

describe('the round in which a figure of today belongs', () => {
  it('is that of today, or one of the last two days that is not finished; never an older one', () => {
    const begun = trialOf({ kind: 'round', thing: 'r1', value: { day: '2026-05-04' } });
    const on = (trial: Trial, text: string) => roundToScore(trial, day(text))?.id;
    expect(['2026-05-04', '2026-05-06', '2026-05-07'].map((text) => on(begun, text))).toEqual([
      'r1',
      'r1',
      undefined,
    ]);
    const complete = trialOf(...held('r1', '2026-05-04'));
    expect([on(complete, '2026-05-04'), on(complete, '2026-05-05')]).toEqual(['r1', undefined]);
  });
});

describe('a reveal', () => {
  it('is early before the last planned round, on its day no longer', () => {
    const trial = trialOf(...held('r1', '2026-05-04'));
    expect(revealWouldBeEarly(trial, day('2026-05-24'))).toBe('2026-05-25');
    expect(revealWouldBeEarly(trial, day('2026-05-25'))).toBeUndefined();
  });
});
