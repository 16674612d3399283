import { type Day, dayFrom } from '@fairbed/field';

/** The day by the clock on this device's wall. */
export function today(now: Date = new Date()): Day {
  const day = dayFrom(now.getFullYear(), now.getMonth() + 1, now.getDate());
  if (day === undefined) throw new Error('The clock of this device shows no day of a calendar.');
  return day;
}

const months = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

/** `25 November 2026`. */
export const longDay = (day: string): string =>
  `${Number(day.slice(8, 10))} ${months[Number(day.slice(5, 7)) - 1] ?? ''} ${Number(day.slice(0, 4))}`;
