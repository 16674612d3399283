/**
 * Scales on which plot values are compared: as they were scored, their logarithm (differences are
 * ratios), their log-odds (values that are shares of `whole`; differences are odds ratios), or
 * their square root (never taken by the rule; for values by hand).
 */
export type ScaleName = 'as-scored' | 'square-root' | 'logarithm' | 'log-odds';

/** A scale with what was added so that nothing falls off its ends; see `scaleFor`. */
export type Scale = {
  readonly name: ScaleName;
  /** Added to every value before the logarithm; 0 where no value is 0. */
  readonly low: number;
  /** Of log-odds: what 100 % of it is, and what was added to the distance from it. */
  readonly whole: number;
  readonly high: number;
};

export type ScaleChoice = {
  readonly scale: Scale;
  /**
   * The larger of: the last but one value over the second (or of the distances from the whole);
   * with fewer than eight values the largest over the smallest. Infinite where the second is 0.
   */
  readonly ratio: number;
};

/** From this ratio on the rule leaves the scale as scored. */
export const leaveFrom = 5;
/** One value at each end is left out of the ratio where there are so many. */
export const trimFrom = 8;

const asScored: Scale = { name: 'as-scored', low: 0, high: 0, whole: 0 };

const ratioOf = (values: readonly number[]): number => {
  const sorted = values.toSorted((a, b) => a - b);
  const end = values.length >= trimFrom ? 1 : 0;
  const [small, large] = [sorted[end], sorted[sorted.length - 1 - end]];
  if (large <= 0) return 1;
  return small <= 0 ? Infinity : large / small;
};

/** Half the smallest value above nothing where one is nothing; else 0. */
const started = (values: readonly number[]): number => {
  if (values.every((value) => value > 0)) return 0;
  const positive = values.filter((value) => value > 0);
  return positive.length === 0 ? 0 : Math.min(...positive) / 2;
};

/**
 * The scale `name` for these values: what must be added is taken from the values alone, whichever
 * treatment they had, so that tests over relabelings stay exact. Falls back to `as-scored` where
 * the scale has no place for a value (below 0, above the whole, or all of them at one end).
 */
export function scaleFor(name: ScaleName, values: readonly number[], whole = 0): Scale {
  if (name === 'as-scored' || values.length === 0 || values.some((value) => !(value >= 0))) {
    return asScored;
  }
  const low = started(values);
  if (name === 'square-root') return { name, low: 0, high: 0, whole };
  const noneAbove = values.every((value) => value === 0);
  if (noneAbove) return asScored;
  if (name === 'logarithm') return { name, low, high: 0, whole };
  const left = values.map((value) => whole - value);
  if (left.some((value) => value < 0) || left.every((value) => value === 0)) return asScored;
  return { name, low, high: started(left), whole };
}

/**
 * The rule for leaving a scale: where the last but one value is at least five times the second
 * (one is left out at each end, since one odd plot must not decide), effects multiply rather than
 * add and spread grows with the mean; then the logarithm, or log-odds where the values are shares
 * of `whole`. It looks at the values alone and never at a treatment or a p-value, so it does not
 * favour a result and leaves tests over relabelings exact. The 5 is ours, from simulated trials
 * (packages/stats/oracle/scale-study.ts): beyond it the logarithm finds more where spread is
 * proportional, and costs little where it is not.
 */
export function chooseScale(values: readonly number[], whole = 0): ScaleChoice {
  if (values.length < 2 || values.some((value) => !(value >= 0))) {
    return { scale: asScored, ratio: 1 };
  }
  const ratio = Math.max(
    ratioOf(values),
    whole > 0 ? ratioOf(values.map((value) => Math.max(0, whole - value))) : 1,
  );
  const name = ratio < leaveFrom ? 'as-scored' : whole > 0 ? 'log-odds' : 'logarithm';
  return { scale: scaleFor(name, values, whole), ratio };
}

/** A value on the scale. */
export function onScale({ name, low, high, whole }: Scale, value: number): number {
  switch (name) {
    case 'as-scored':
      return value;
    case 'square-root':
      return Math.sqrt(value);
    case 'logarithm':
      return Math.log(value + low);
    case 'log-odds':
      return Math.log((value + low) / (whole - value + high));
  }
}

/**
 * The value that lies at `place` of the scale; what was added is taken off again, and nothing
 * below 0 or above the whole is given. Of a mean of the scale it is the geometric mean or its like,
 * that of a middling plot, not the arithmetic mean.
 */
export function offScale({ name, low, high, whole }: Scale, place: number): number {
  switch (name) {
    case 'as-scored':
      return place;
    case 'square-root':
      return Math.max(0, place) ** 2;
    case 'logarithm':
      return Math.max(0, Math.exp(place) - low);
    case 'log-odds': {
      const odds = Math.exp(place);
      const value = odds === Infinity ? whole : (odds * (whole + high) - low) / (1 + odds);
      return Math.min(whole, Math.max(0, value));
    }
  }
}
