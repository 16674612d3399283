import { readDay } from '@fairbed/field';
import { createBook, createPen, type Line } from '@fairbed/notebook';
import { recordKinds, type Trial, trialFrom } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { stepOf, withLongDays } from './dueWords';
import { answerOf, type Kept, type NowItem, nowOf } from './nowOf';

const day = (text: string) => {
  const read = readDay(text);
  if (read === undefined) throw new Error(text);
  return read;
};

const lines: readonly Line[] = [
  { kind: 'plan', thing: 'title', value: 'Rust' },
  { kind: 'plan', thing: 'treatments', value: [{ id: 'U', name: 'Untreated', kind: 'untreated' }] },
  { kind: 'plan', thing: 'rounds', value: { count: 2, everyDays: 7, firstDay: '2026-05-04' } },
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

function trialOf(...more: readonly Line[]): Trial {
  const book = createBook(recordKinds);
  createPen({ writer: 'a', who: () => '', now: () => 0, book }).writeAll([...lines, ...more]);
  return trialFrom('t', book).trial;
}

const kept: Kept = { clashes: 0, unsaved: 0 };
const at = (text: string) => ({ day: day(text), time: '09:00' });
const codes = (items: readonly NowItem[]) =>
  items.map((item) => (item.kind === 'due' ? item.due.code : item.kind));
const sealedBefore: readonly Line[] = [
  { kind: 'seal', thing: 'seal', value: { hash: 'a'.repeat(64), day: '2026-05-02', plan: {} } },
];

describe('what is to be done now', () => {
  it('puts clashes and an old back-up among what is for today, before what comes later', () => {
    const items = nowOf(
      trialOf(...sealedBefore),
      { clashes: 1, unsaved: 12, lastBackup: day('2026-04-20') },
      at('2026-05-01'),
    );
    expect(codes(items)).toEqual(['clash', 'backup', 'round-next']);
    expect(items[1]).toMatchObject({
      why: 'The last one is of 2026-04-20; 12 entries were written since.',
    });
  });

  it('asks for no back-up where nothing was written since, or the last is a week old', () => {
    const trial = trialOf(...sealedBefore);
    const backup = { ...kept, lastBackup: day('2026-04-24') };
    expect(codes(nowOf(trial, { ...backup, unsaved: 9 }, at('2026-05-01')))).toEqual([
      'round-next',
    ]);
    expect(codes(nowOf(trial, { ...backup, unsaved: 0 }, at('2026-05-03')))).toEqual([
      'round-next',
    ]);
    expect(codes(nowOf(trial, { ...backup, unsaved: 1 }, at('2026-05-02')))).toContain('backup');
  });

  it('asks for a first back-up once there is a morning of work to lose', () => {
    const trial = trialOf(...sealedBefore);
    expect(codes(nowOf(trial, { ...kept, unsaved: 29 }, at('2026-05-01')))).not.toContain('backup');
    expect(codes(nowOf(trial, { ...kept, unsaved: 30 }, at('2026-05-01')))).toContain('backup');
  });
});

describe('the answer', () => {
  const now = (text: string, more: readonly Line[] = sealedBefore) => [
    { id: 't', title: 'Rust', items: nowOf(trialOf(...more), kept, at(text)) },
  ];

  it('counts what needs doing', () => {
    expect(answerOf(now('2026-05-04'))).toBe('1 thing needs doing.');
  });

  it('says that nothing does, and when the next round is', () => {
    expect(withLongDays(answerOf(now('2026-05-01')))).toBe(
      'Nothing needs doing today. The next round is on 4 May 2026.',
    );
    expect(answerOf([])).toBe('Nothing needs doing today.');
  });
});

describe('the way to what is due', () => {
  const dueOn = (trial: Trial, text: string) => {
    const item = nowOf(trial, kept, at(text)).find(({ when }) => when === 'now');
    return item?.kind === 'due' ? stepOf('t', item.due, trial, day(text)) : undefined;
  };

  it('begins a round that is due, or goes on with the one begun today', () => {
    expect(dueOn(trialOf(...sealedBefore), '2026-05-04')).toEqual({
      kind: 'begin',
      label: 'Begin the round',
    });
    const begun = trialOf(...sealedBefore, {
      kind: 'round',
      thing: 'r1',
      value: { day: '2026-05-04' },
    });
    expect(dueOn(begun, '2026-05-04')).toMatchObject({ kind: 'link', href: '#/score/t/r1' });
  });
});
