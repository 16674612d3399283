import type { ControlComparison, Interval } from './judgement';

/** F with the degrees of freedom of its error. */
export type OverTimeTest = {
  readonly f: number;
  readonly df: number;
  readonly errorDf: number;
  readonly p: number;
};

/** All rounds of all plots in one mixed model: plots random, residuals of a plot fading over time. */
export type OverTime = {
  readonly measure: string;
  readonly unit: string;
  readonly method: 'REML';
  readonly degreesOfFreedom: 'Satterthwaite';
  /** Days after the first round of the trial; `spread`: how widely plots scatter beside other rounds. */
  readonly rounds: readonly {
    readonly day: number;
    readonly date?: string;
    readonly spread: number;
  }[];
  /** Standard deviations: `plot`, what lasts; `residual`, what changes from round to round. */
  readonly sd: Readonly<Record<string, number | null>>;
  /** Correlation of what changes, `every` so many days (or rounds) apart; null with two rounds. */
  readonly fading: { readonly rho: number; readonly every: number } | null;
  readonly tests: {
    readonly treatment: OverTimeTest | null;
    readonly time: OverTimeTest | null;
    readonly treatmentByTime: OverTimeTest | null;
  };
  /** Means over the rounds, each round counting alike, and round by round; each interval by itself. */
  readonly treatments: readonly (Interval & {
    readonly name: string;
    readonly mean: number | null;
    readonly se: number | null;
    readonly course: readonly (Interval & { readonly day: number; readonly mean: number | null })[];
  })[];
  /** Over the rounds, and at the last one. */
  readonly versusControl: readonly ControlComparison[];
  readonly atLastRound: readonly ControlComparison[];
};
