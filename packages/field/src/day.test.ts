import { describe, expect, it } from 'vitest';
import { dayFrom, dayFromNumber, dayNumber, daysBetween, readDay } from './day';

const day = (text: string) => {
  const read = readDay(text);
  if (read === undefined) throw new Error(`${text} is not a day`);
  return read;
};

describe('readDay', () => {
  it('reads a day written as year, month, day', () => {
    expect(readDay('2026-05-04')).toBe('2026-05-04');
    expect(readDay('0001-01-01')).toBe('0001-01-01');
    expect(readDay('9999-12-31')).toBe('9999-12-31');
  });

  it.each(['2026-5-4', '04/05/2026', '2026-05-04T00:00', ' 2026-05-04', '', '20260504'])(
    'refuses %j, which is not that form',
    (text) => expect(readDay(text)).toBeUndefined(),
  );

  it.each(['2026-00-10', '2026-13-01', '2026-06-31', '2026-01-00', '2026-01-32', '0000-01-01'])(
    'refuses %s, a day that never was',
    (text) => expect(readDay(text)).toBeUndefined(),
  );

  // The Gregorian rule: every fourth year, but of the hundreds only those that 400 divides.
  it('knows the leap years', () => {
    for (const leap of [1600, 1996, 2000, 2024, 2028, 2400]) {
      expect(dayFrom(leap, 2, 29)).toBeDefined();
    }
    for (const common of [1700, 1800, 1900, 2025, 2026, 2100]) {
      expect(dayFrom(common, 2, 29)).toBeUndefined();
    }
  });

  it('refuses years, months and days that are not whole numbers', () => {
    expect(dayFrom(2026.5, 1, 1)).toBeUndefined();
    expect(dayFrom(2026, 1.5, 1)).toBeUndefined();
    expect(dayFrom(2026, 1, 1.5)).toBeUndefined();
    expect(dayFrom(Number.NaN, 1, 1)).toBeUndefined();
    expect(dayFrom(10_000, 1, 1)).toBeUndefined();
  });
});

describe('dayNumber', () => {
  // Published day numbers. Unix time counts from 1970-01-01; 946684800 s is 2000-01-01 and
  // 1234567890 s falls on 2009-02-13; the modified Julian day of 1858-11-17 is 0 and that of
  // 1970-01-01 is 40587; of 2000-01-01 51544 (the J2000 epoch, MJD 51544.5 at noon).
  it.each([
    ['1970-01-01', 0],
    ['1969-12-31', -1],
    ['2000-01-01', 946_684_800 / 86_400],
    ['2009-02-13', Math.floor(1_234_567_890 / 86_400)],
    ['1858-11-17', -40_587],
    ['2000-01-01', 51_544 - 40_587],
    ['2038-01-19', Math.floor(2_147_483_647 / 86_400)],
  ])('%s is day %d', (text, number) => expect(dayNumber(day(text))).toBe(number));

  it('a leap day comes last in a year begun in March', () => {
    expect(daysBetween(day('2024-02-28'), day('2024-03-01'))).toBe(2);
    expect(daysBetween(day('2026-02-28'), day('2026-03-01'))).toBe(1);
    expect(daysBetween(day('1900-02-28'), day('1900-03-01'))).toBe(1);
  });

  it('a Gregorian cycle of 400 years has 146,097 days, a whole number of weeks', () => {
    expect(daysBetween(day('1600-03-01'), day('2000-03-01'))).toBe(146_097);
    expect(146_097 % 7).toBe(0);
  });

  it('counts backwards as well', () => {
    expect(daysBetween(day('2026-05-11'), day('2026-05-04'))).toBe(-7);
  });
});

describe('dayFromNumber', () => {
  it('is the inverse of dayNumber on every day from 1890 to 2110', () => {
    const first = dayNumber(day('1890-01-01'));
    const last = dayNumber(day('2110-12-31'));
    let before = '';
    for (let n = first; n <= last; n++) {
      const there = dayFromNumber(n);
      if (there === undefined) throw new Error(`no day ${n}`);
      if (dayNumber(there) !== n || there <= before) throw new Error(`${there} is not day ${n}`);
      before = there;
    }
    expect(last - first + 1).toBe(80_718);
  });

  // A second road: the calendar of the language itself (ECMA-262, time in UTC).
  it('agrees with the language over 3,000 years', () => {
    for (let n = -700_000; n <= 400_000; n += 997) {
      expect(dayFromNumber(n)).toBe(new Date(n * 86_400_000).toISOString().slice(0, 10));
    }
  });

  it('has no day outside the years 1 to 9999', () => {
    expect(dayFromNumber(dayNumber(day('9999-12-31')) + 1)).toBeUndefined();
    expect(dayFromNumber(dayNumber(day('0001-01-01')) - 1)).toBeUndefined();
  });
});
