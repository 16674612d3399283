import type { Brand } from './brand';

/** A calendar day as ISO text, `YYYY-MM-DD`. No clock, no zone: a grower's day is the day it was. */
export type Day = Brand<string, 'Day'>;

const iso = /^(\d{4})-(\d{2})-(\d{2})$/;
const monthLengths = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

const isLeapYear = (year: number): boolean =>
  year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);

/**
 * The day of a year, month (1..12) and day of the month (1..31) in the Gregorian calendar.
 * Returns undefined where there is no such day (31 June, 29 February 2027, year 0).
 */
export function dayFrom(year: number, month: number, dayOfMonth: number): Day | undefined {
  if (!Number.isInteger(year) || year < 1 || year > 9999) return undefined;
  const length = month === 2 && isLeapYear(year) ? 29 : monthLengths[month - 1];
  if (length === undefined || !Number.isInteger(dayOfMonth)) return undefined;
  if (dayOfMonth < 1 || dayOfMonth > length) return undefined;
  const pad = (n: number, width: number): string => String(n).padStart(width, '0');
  return `${pad(year, 4)}-${pad(month, 2)}-${pad(dayOfMonth, 2)}` as Day;
}

/** Reads ISO text (`2026-05-04`); undefined for anything else, an impossible day included. */
export function readDay(text: string): Day | undefined {
  const parts = iso.exec(text);
  return parts ? dayFrom(Number(parts[1]), Number(parts[2]), Number(parts[3])) : undefined;
}

/**
 * Days since 1970-01-01, negative before. Integer arithmetic on the civil calendar with the year
 * begun in March, so that the leap day comes last (Hinnant, "chrono-compatible low-level date
 * algorithms", days_from_civil).
 */
export function dayNumber(day: Day): number {
  const year = Number(day.slice(0, 4));
  const month = Number(day.slice(5, 7));
  const marchYear = month > 2 ? year : year - 1;
  const era = Math.floor(marchYear / 400);
  const yearOfEra = marchYear - era * 400;
  const dayOfYear = Math.floor((153 * ((month + 9) % 12) + 2) / 5) + Number(day.slice(8, 10)) - 1;
  const dayOfEra =
    yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146097 + dayOfEra - 719468;
}

/** The day that many days after 1970-01-01: the inverse of {@link dayNumber} (civil_from_days). */
export function dayFromNumber(number: number): Day | undefined {
  const z = number + 719468;
  const era = Math.floor(z / 146097);
  const dayOfEra = z - era * 146097;
  const yearOfEra = Math.floor(
    (dayOfEra -
      Math.floor(dayOfEra / 1460) +
      Math.floor(dayOfEra / 36524) -
      Math.floor(dayOfEra / 146096)) /
      365,
  );
  const dayOfYear =
    dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const marchMonth = Math.floor((5 * dayOfYear + 2) / 153);
  const dayOfMonth = dayOfYear - Math.floor((153 * marchMonth + 2) / 5) + 1;
  const month = marchMonth < 10 ? marchMonth + 3 : marchMonth - 9;
  return dayFrom(yearOfEra + era * 400 + (month <= 2 ? 1 : 0), month, dayOfMonth);
}

/** Whole days from one day to another; negative when `to` is the earlier. */
export const daysBetween = (from: Day, to: Day): number => dayNumber(to) - dayNumber(from);
