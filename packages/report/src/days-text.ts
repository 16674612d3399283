import { fixedNumber } from './format';

/** A fall of a curve: somewhere between two looks, down to `share`. */
export type DaysStep = {
  /** Null: before the first look. */
  readonly from: number | null;
  /** Null: not yet at the last look. */
  readonly to: number | null;
  /** Share without the event after it. */
  readonly share: number;
  readonly low: number | null;
  readonly high: number | null;
};

export type DaysCurve = { readonly name: string; readonly steps: readonly DaysStep[] };

const whole: Readonly<Record<string, string>> = {
  'first-symptom': 'Plants without a symptom so far',
  clean: 'Plants not clean so far',
  heading: 'Plants not heading so far',
  harvest: 'Plants not ready to cut so far',
};

/** Heading of the curves: the share of what is drawn. */
export const daysTitle = (event: string | undefined): string =>
  `${whole[event ?? ''] ?? 'Plants to which it has not happened so far'}, percent`;

const day = (value: number): string => fixedNumber(value, Number.isInteger(value) ? 0 : 1);

const when = ({ from, to }: DaysStep): string => {
  if (to === null) return from === null ? 'never seen' : `after day ${day(from)}`;
  if (from === null) return `by day ${day(to)}`;
  return from === to ? `on day ${day(to)}` : `between day ${day(from)} and day ${day(to)}`;
};

/** Text alternative: every fall of every curve, and between which looks it came. */
export function describeDays(curves: readonly DaysCurve[]): string {
  const rows = curves.map(({ name, steps }) => {
    const falls = steps.flatMap((step) =>
      step.to === null ? [] : [`${fixedNumber(100 * step.share, 0)}\u00a0% ${when(step)}`],
    );
    return `${name}: ${falls.length === 0 ? 'it happened to none' : `down to ${falls.join(', ')}`}.`;
  });
  return `Where a curve fell between two looks, the day is not known. ${rows.join(' ')}`;
}
