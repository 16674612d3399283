import { createBook, createPen, type Entry, type Json } from '@fairbed/notebook';
import { namesOf, recordKinds, scoreThing, trialFrom } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { type Known, sentenceOf, valueOf, whenOf, writtenBy } from './entryWords';
import { roundTables } from './PlotHistory';

const layout = [
  { plot: 'p1', code: 'K7F', treatment: 'M' },
  { plot: 'p2', code: 'M3X', treatment: 'U' },
];
const treatments = [
  { id: 'M', name: 'Skim milk', kind: 'product' },
  { id: 'U', name: 'Untreated', kind: 'untreated' },
];
const diseased = (plant: string): string =>
  scoreThing({ round: 'r1', plot: 'p1', plant, field: 'diseased' });

/** A book with a plan and a round, and a pen that writes in it. */
function setUp() {
  const book = createBook(recordKinds);
  const at = new Date(2026, 4, 4, 14, 5).getTime();
  const pen = createPen({ writer: 'abc123zzzz', who: () => 'Ann', now: () => at, book });
  const write = (kind: string, thing: string, value: Json): Entry => pen.write(kind, thing, value);
  write('plan', 'treatments', treatments);
  write('draw', '1', {
    seed: 5,
    day: '2026-05-01',
    layout,
    request: { kind: 'completely-randomised' },
  });
  write('round', 'r1', { day: '2026-05-04' });
  const known = (): Known => {
    const { trial } = trialFrom('t', book);
    return {
      trial,
      names: namesOf(trial),
      roundDay: (round) => trial.rounds.find(({ id }) => id === round)?.day,
      history: book.history,
    };
  };
  return { book, write, known };
}

describe('the words of an entry', () => {
  it('say what, where and what it replaced', () => {
    const { write, known } = setUp();
    const first = write('score', diseased('3'), 4);
    const second = write('score', diseased('3'), 5);
    const third = write('score', diseased('3'), null);
    expect([first, second, third].map((entry) => sentenceOf(entry, known()))).toEqual([
      'Diseased leaves, plot K7F, plant 3, round of 4 May 2026: 4.',
      'Diseased leaves, plot K7F, plant 3, round of 4 May 2026: 5, replaced 4.',
      'Diseased leaves, plot K7F, plant 3, round of 4 May 2026: taken back, was 5.',
    ]);
  });

  it('say by whom, on which device and when', () => {
    const { write } = setUp();
    const entry = write('score', diseased('3'), 4);
    expect(writtenBy(entry, 'abc123')).toBe('by Ann on this device, 4 May 2026, 14:05');
    expect(writtenBy({ ...entry, who: '' }, 'other1')).toBe(
      'without a name on device abc123, 4 May 2026, 14:05',
    );
  });

  it('tell the time of the device where it is another than the clock of the book', () => {
    const { write } = setUp();
    const entry = write('score', diseased('3'), 4);
    expect(whenOf({ ...entry, at: new Date(2026, 4, 3, 9, 0).getTime() })).toBe(
      '3 May 2026, 09:00',
    );
  });

  it('name no treatment of a plot before the reveal, neither of a draw nor of a spray', () => {
    const { book, write, known } = setUp();
    const spray = write('spray', 's1', { day: '2026-05-03', treatment: 'M', plots: ['p1'] });
    const draw = book.standing('draw', '1');
    const before = [draw, spray].map((entry) => (entry ? sentenceOf(entry, known()) : '')).join();
    expect(before).toContain('2 plots drawn by lot');
    expect(before).not.toMatch(/milk|Untreated|K7F/);
    write('reveal', 'reveal', { day: '2026-06-01' });
    expect(sentenceOf(spray, known())).toContain('Sprayed Skim milk');
  });

  it('tell what changed in the plan', () => {
    const { write, known } = setUp();
    write('plan', 'worthHaving', 40);
    const entry = write('plan', 'worthHaving', 50);
    expect(sentenceOf(entry, known())).toBe(
      'The smallest difference worth having was changed from 40 % to 50 %.',
    );
  });

  it('have units and causes', () => {
    const { known } = setUp();
    const place = { round: 'r1', plot: 'p1' } as const;
    const severity = scoreThing({ ...place, field: 'severity' });
    const lost = scoreThing({ ...place, field: 'lost' });
    expect(valueOf('score', severity, 12, known())).toBe('12 %');
    expect(valueOf('score', lost, [{ leaves: 2, why: 'storm' }], known())).toBe(
      '2 to storm or hail',
    );
  });
});

describe('the tables of a plot', () => {
  it('have rounds latest first, plants by number, and how often a figure was entered', () => {
    const { book, write, known } = setUp();
    write('round', 'r2', { day: '2026-05-11' });
    write('score', diseased('10'), 1);
    write('score', diseased('2'), 3);
    write('score', diseased('2'), 4);
    write('score', scoreThing({ round: 'r2', plot: 'p1', plant: '2', field: 'standing' }), 9);
    const entries = book.entries().filter(({ kind }) => kind === 'score');
    const tables = roundTables(entries, known().roundDay);
    expect(tables.map(({ round, columns }) => [round, columns])).toEqual([
      ['r2', ['standing']],
      ['r1', ['diseased']],
    ]);
    expect(
      tables[1]?.rows.map(({ plant, cells }) => [plant, cells.get('diseased')?.times]),
    ).toEqual([
      ['2', 2],
      ['10', 1],
    ]);
    expect(tables[1]?.rows[0]?.cells.get('diseased')?.last.value).toBe(4);
  });
});
