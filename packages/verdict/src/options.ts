import type { EarlierSpread } from './earlier';
import type { MethodId, ScaleWord } from './judgement';

/** What may be asked of a judgement beside the trial itself. */
export type JudgeOptions = {
  /** Id of the outcome to judge by; the trial's own main outcome when left out. */
  readonly outcome?: string;
  /** Id of a first-round outcome, or `baseline-value`, to adjust for. */
  readonly baseline?: string;
  /** Grounds to judge on; by rule (docs/methods.md) when left out. */
  readonly method?: MethodId;
  /** Scale to compare plots on; by the rule when left out. */
  readonly scale?: ScaleWord;
  /** Id of a round: judge as if only the rounds up to it had been held. */
  readonly look?: string;
  /** Id or name of the treatment that others are compared with. */
  readonly control?: string;
  /** Seed of the draws where there are too many layouts to try all; 1 when left out. */
  readonly seed?: number;
  /** Smallest difference worth having, percent less than the control. */
  readonly worthHavingPercent?: number;
  /** Make the layout's own test for all outcomes, not for the main one alone. */
  readonly exactForAll?: boolean;
  /** How much like plots differed in the grower's earlier trials; rankings and single plots lean on it. */
  readonly earlier?: readonly EarlierSpread[];
  /** Leave out what does not decide: models of counts and grades, rankings, other methods. */
  readonly withoutModels?: boolean;
  /**
   * The verdict and the figures it rests on, soonest: no other outcomes, models of counts and
   * grades, leaf balance or progress.
   */
  readonly brief?: boolean;
};

/** Taken where no plan says what difference would be worth having, percent (our choice, no source). */
export const worthHavingWithoutPlan = 30;
