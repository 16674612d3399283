/**
 * A hybrid logical clock (Kulkarni, Demirbas, Madappa, Avva and Leone 2014, "Logical physical
 * clocks", figure 5): the largest wall clock seen so far, and a counter that breaks ties. It keeps
 * close to real time where the devices' clocks are right, and keeps cause before effect where they
 * are not. Written as text that sorts: 9 base-36 digits of milliseconds since 1970, 4 of the
 * counter, '-', the writer. Compare with `<`, never by the rules of a language.
 */
export type Instant = { readonly ms: number; readonly counter: number };

const MS_DIGITS = 9;
const COUNTER_DIGITS = 4;
const MOST_COUNTER = 36 ** COUNTER_DIGITS - 1;
/** Where the writer begins in the text of a clock. */
const WRITER_AT = MS_DIGITS + COUNTER_DIGITS + 1;

/** 3000-01-01: a device whose clock says later is not believed; its writing still sorts last. */
export const LAST_BELIEVED_MS = 32_503_680_000_000;
/**
 * 3100-01-01: an entry of a later clock is refused. Between the two lie a hundred years of
 * milliseconds with 1,679,616 entries in each, so writing goes on after a clock that ran wild.
 */
export const LAST_ACCEPTED_MS = 35_659_353_600_000;

const digits = (n: number, width: number): string => n.toString(36).padStart(width, '0');

/** The text of a clock. `ms` and `counter` are whole and within their digits. */
export const clockText = ({ ms, counter }: Instant, writer: string): string =>
  `${digits(ms, MS_DIGITS)}${digits(counter, COUNTER_DIGITS)}-${writer}`;

/** Milliseconds since 1970 of a clock's text: the writer's own wall clock, or the largest it saw. */
export const clockMs = (clock: string): number => Number.parseInt(clock.slice(0, MS_DIGITS), 36);

const clockCounter = (clock: string): number =>
  Number.parseInt(clock.slice(MS_DIGITS, WRITER_AT - 1), 36);

/** The writer that a clock's text ends with. */
export const clockWriter = (clock: string): string => clock.slice(WRITER_AT);

const form = /^[0-9a-z]{13}-[0-9A-Za-z_-]{1,40}$/;
const tooLate = digits(LAST_ACCEPTED_MS + 1, MS_DIGITS);

/** Whether a text has the form of a clock, and is not past {@link LAST_ACCEPTED_MS}. */
export const isClock = (text: string): boolean => form.test(text) && text < tooLate;

/** A device's wall clock as whole milliseconds; one that gives no time at all is read as 1970. */
export const wallMs = (now: number): number =>
  Number.isFinite(now) ? Math.trunc(Math.min(Math.max(now, -8.64e15), 8.64e15)) : 0;

/**
 * The clock of something that happens now: later than `latest`, the latest clock seen on this
 * device (its own or received), and not earlier than the wall clock `now` (ms since 1970) where
 * that can be believed. A full counter runs over into the milliseconds. Stays where it is at the
 * last clock there is, which only a forged entry can bring about.
 */
export function tick(latest: string | undefined, now: number): Instant {
  const wall = wallMs(now);
  const physical = wall < 0 || wall > LAST_BELIEVED_MS ? 0 : wall;
  if (latest === undefined) return { ms: physical, counter: 0 };
  const ms = clockMs(latest);
  if (physical > ms) return { ms: physical, counter: 0 };
  const counter = clockCounter(latest);
  if (counter < MOST_COUNTER) return { ms, counter: counter + 1 };
  return ms < LAST_ACCEPTED_MS ? { ms: ms + 1, counter: 0 } : { ms, counter };
}
