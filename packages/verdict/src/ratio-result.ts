import type { MethodResult, RatioToControl } from './judgement';
import { chance, listed } from './numbers';

/** A shift of logarithms as a ratio. */
export const ratioOf = (
  shift: {
    readonly estimate: number;
    readonly low: number;
    readonly high: number;
    readonly p: number;
  },
  pExact: number | null,
  name: string,
): RatioToControl => ({
  name,
  ratio: Math.exp(shift.estimate),
  low: Math.exp(shift.low),
  high: Math.exp(shift.high),
  p: shift.p,
  pExact,
});

/** A ratio for a sentence: two digits say all that is known of it. */
const times = (ratio: number): string => {
  const short = Number(ratio.toPrecision(2));
  return short >= 1e4 || short < 1e-4 ? short.toExponential(1) : String(short);
};

const detail = ({ ratio, low, high }: RatioToControl): string =>
  ratio === null || low === null || high === null
    ? 'no estimate'
    : `${times(ratio)} (${times(low)} to ${times(high)})`;

export type Wording = {
  readonly control: string;
  /** p that decides, of all treatments and of each. */
  readonly p: number | null;
  readonly pOf: (comparison: RatioToControl) => number | null;
  /** What ratio 1 or less means: 'B and C had milder grades than A'. */
  readonly lower: (names: string, control: string) => string;
  readonly higher: (names: string, control: string) => string;
  /** What the ratio is: 'odds of a worse grade, times the control’s'. */
  readonly ratioIs: string;
  readonly nothing: (control: string) => string;
};

/** What a method of ratios found, in sentences: those apart below and above, or none. */
export function ratioSays(comparisons: readonly RatioToControl[], words: Wording): string {
  const apart = comparisons.filter((one) => {
    const p = words.pOf(one);
    return one.ratio !== null && p !== null && p <= 0.05;
  });
  const tell = (
    some: readonly RatioToControl[],
    lead: (names: string, control: string) => string,
  ): string[] =>
    some.length === 0
      ? []
      : [
          `${lead(listed(some.map(({ name }) => name)), words.control)}: ${words.ratioIs} ${some
            .map((one) => (some.length === 1 ? detail(one) : `${one.name} ${detail(one)}`))
            .join(', ')}.`,
        ];
  const said = [
    ...tell(
      apart.filter(({ ratio }) => (ratio ?? 1) < 1),
      words.lower,
    ),
    ...tell(
      apart.filter(({ ratio }) => (ratio ?? 1) >= 1),
      words.higher,
    ),
  ];
  if (said.length > 0) return said.join(' ');
  return `${words.nothing(words.control)}${words.p === null ? '' : ` (p ${chance(words.p)})`}.`;
}

/** The comparisons as a method gives them, by its model and by the layout's own test; `lowerIsBetter` undefined where neither side is. */
export const versusControlOf = (
  comparisons: readonly RatioToControl[],
  lowerIsBetter: boolean | undefined,
): MethodResult['versusControl'] =>
  comparisons.map((one) => ({
    name: one.name,
    estimate: one.ratio,
    low: one.low,
    high: one.high,
    p: one.p,
    ...(one.pExact === null ? {} : { pExact: one.pExact }),
    better:
      one.ratio === null || lowerIsBetter === undefined || one.ratio === 1
        ? null
        : one.ratio < 1 === lowerIsBetter,
  }));
