import { type Day, dayFromNumber, dayNumber } from '@fairbed/field';

/** A day and a time by the clock on the wall, such as 07:30. No zone: both are where the bed is. */
export type Moment = { readonly day: Day; readonly time: string };

const minutesADay = 1440;

/** Minutes from 1970-01-01 00:00 by the clock on the wall. */
export const minuteOf = ({ day, time }: Moment): number =>
  dayNumber(day) * minutesADay + Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));

/** The moment of a minute: the inverse of {@link minuteOf}. Undefined past the year 9999. */
export function momentOf(minute: number): Moment | undefined {
  const day = dayFromNumber(Math.floor(minute / minutesADay));
  if (day === undefined) return undefined;
  const rest = Math.round(minute) - Math.floor(minute / minutesADay) * minutesADay;
  const pad = (n: number): string => String(n).padStart(2, '0');
  return { day, time: `${pad(Math.floor(rest / 60))}:${pad(rest % 60)}` };
}
