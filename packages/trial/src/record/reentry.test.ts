import { readDay } from '@fairbed/field';
import { describe, expect, it } from 'vitest';
import type { Trial } from '../schema';
import { minuteOf, momentOf } from './moment';
import { reentryOf } from './reentry';

type Spray = Trial['sprays'][number];
const day = (text: string) => {
  const read = readDay(text);
  if (read === undefined) throw new Error(`${text} is no day`);
  return read;
};
const moment = (text: string) => ({ day: day(text.slice(0, 10)), time: text.slice(11) });
const spray = (at: string, more: Partial<Spray> = {}): Spray => ({
  day: day(at.slice(0, 10)),
  ...(at.length > 10 ? { time: at.slice(11) } : {}),
  treatment: 'copper',
  ...more,
});
const trial = (sprays: Spray[], reentryHours?: number) => ({
  sprays,
  plots: [
    { id: '1', treatment: 'copper' },
    { id: '2', treatment: 'water' },
  ],
  treatments: [
    {
      id: 'copper',
      name: 'Copper',
      kind: 'product' as const,
      ...(reentryHours === undefined ? {} : { reentryHours }),
    },
    { id: 'water', name: 'Water', kind: 'water-only' as const },
  ],
});
const until = (sprays: Spray[], now: string, plot?: string) => {
  const reentry = reentryOf(trial(sprays), moment(now), plot);
  return reentry.state === 'running' ? `${reentry.until.day} ${reentry.until.time}` : reentry.state;
};

describe('a re-entry interval', () => {
  it.each([
    [
      'over midnight',
      spray('2026-06-01 18:30', { reentryHours: 12 }),
      '2026-06-01 18:30',
      '2026-06-02 06:30',
    ],
    [
      'its last minute',
      spray('2026-06-01 18:30', { reentryHours: 12 }),
      '2026-06-02 06:29',
      '2026-06-02 06:30',
    ],
    ['over', spray('2026-06-01 18:30', { reentryHours: 12 }), '2026-06-02 06:30', 'clear'],
    ['not begun', spray('2026-06-01 18:30', { reentryHours: 12 }), '2026-06-01 18:29', 'clear'],
    [
      'over the end of a month',
      spray('2026-06-30 20:00', { reentryHours: 48 }),
      '2026-07-01 08:00',
      '2026-07-02 20:00',
    ],
    [
      'over a leap day',
      spray('2028-02-28 12:00', { reentryHours: 24 }),
      '2028-02-29 00:00',
      '2028-02-29 12:00',
    ],
    [
      'over the end of a year',
      spray('2026-12-31 23:59', { reentryHours: 4 }),
      '2027-01-01 00:00',
      '2027-01-01 03:59',
    ],
    [
      'of half an hour more',
      spray('2026-06-01 08:00', { reentryHours: 4.5 }),
      '2026-06-01 12:00',
      '2026-06-01 12:30',
    ],
    [
      'without a time counts from the end of the day',
      spray('2026-06-01', { reentryHours: 4 }),
      '2026-06-02 03:00',
      '2026-06-02 04:00',
    ],
    [
      'without a time runs from the morning',
      spray('2026-06-01', { reentryHours: 4 }),
      '2026-06-01 07:00',
      '2026-06-02 04:00',
    ],
    ['of no hours', spray('2026-06-01 08:00', { reentryHours: 0 }), '2026-06-01 08:00', 'clear'],
    ['nobody wrote down', spray('2026-06-01 08:00'), '2026-06-03 08:00', 'unknown'],
    ['nobody wrote down, three days on', spray('2026-06-01 08:00'), '2026-06-04 08:00', 'clear'],
    ['of water', spray('2026-06-01 08:00', { treatment: 'water' }), '2026-06-01 09:00', 'clear'],
  ])('%s', (_name, one, now, expected) => {
    expect(until([one], now)).toBe(expected);
  });

  it('is that of the spray before that of the treatment', () => {
    const hours = (own?: number) => {
      const one = spray('2026-06-01 08:00', own === undefined ? {} : { reentryHours: own });
      const found = reentryOf(trial([one], 24), moment('2026-06-01 09:00'));
      return found.state === 'running' ? found.hours : found.state;
    };
    expect(hours()).toBe(24);
    expect(hours(6)).toBe(6);
  });

  it('of several is the one that ends last', () => {
    const sprays = [
      spray('2026-06-01 08:00', { reentryHours: 48 }),
      spray('2026-06-02 08:00', { reentryHours: 4 }),
    ];
    expect(until(sprays, '2026-06-02 09:00')).toBe('2026-06-03 08:00');
    expect(until(sprays.toReversed(), '2026-06-02 09:00')).toBe('2026-06-03 08:00');
  });

  it('is that of the whole trial until the reveal: it would tell which plots were sprayed', () => {
    const { plots, ...rest } = trial([spray('2026-06-01 08:00')], 24);
    const coded = { ...rest, plots: plots.map((plot) => ({ ...plot, code: `K${plot.id}` })) };
    const states = (of: typeof coded & Pick<Trial, 'reveal'>) =>
      ['1', '2'].map((plot) => reentryOf(of, moment('2026-06-01 12:00'), plot).state);
    expect(states(coded)).toEqual(['running', 'running']);
    expect(states({ ...coded, reveal: { day: day('2026-06-01') } })).toEqual(['running', 'clear']);
  });

  it('is that of the plots sprayed, by name or by treatment', () => {
    const whole = [spray('2026-06-01 08:00', { reentryHours: 24 })];
    expect(until(whole, '2026-06-01 09:00', '1')).toBe('2026-06-02 08:00');
    expect(until(whole, '2026-06-01 09:00', '2')).toBe('clear');
    const wrong = [spray('2026-06-01 08:00', { reentryHours: 24, plots: ['2'] })];
    expect(until(wrong, '2026-06-01 09:00', '1')).toBe('clear');
    expect(until(wrong, '2026-06-01 09:00', '2')).toBe('2026-06-02 08:00');
  });

  it('is told without naming the treatment', () => {
    const found = reentryOf(
      trial([spray('2026-06-01 18:30', { reentryHours: 12 })]),
      moment('2026-06-01 20:00'),
    );
    expect(found).toMatchObject({
      what: 'Sprayed on 2026-06-01 at 18:30; the re-entry interval of 12 hours runs until 2026-06-02 06:30.',
    });
    expect(JSON.stringify({ ...found, spray: undefined })).not.toContain('opper');
  });
});

it('a minute has its moment, back and forth, over two years', () => {
  for (
    let minute = minuteOf(moment('2026-01-01 00:00'));
    minute < minuteOf(moment('2028-03-02 00:00'));
    minute += 97
  ) {
    const there = momentOf(minute);
    expect(there && minuteOf(there)).toBe(minute);
  }
  // 2001-09-09 01:46 is minute 1,000,000,000 s / 60 of Unix time.
  expect(momentOf(Math.floor(1_000_000_000 / 60))).toEqual({ day: '2001-09-09', time: '01:46' });
});
