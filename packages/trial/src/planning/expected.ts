/** What will be written down at a round, and what it is expected to be in the control. */
export type Expected =
  /** Diseased leaves of the leaves on a plant; `percent` diseased at the last round. */
  | { readonly kind: 'leaves'; readonly percent: number; readonly leaves: number }
  /** Percent of the leaf area, plant by plant. */
  | { readonly kind: 'severity'; readonly percent: number }
  /** Classes 0 (healthy) to `classes` - 1; `percent` is the grade index at the last round. */
  | { readonly kind: 'grades'; readonly percent: number; readonly classes: number }
  /** Any other number; `mean` in the control, the same at every round. */
  | { readonly kind: 'value'; readonly mean: number; readonly better: 'lower' | 'higher' };

/**
 * How unlike the ground is by itself: standard deviations between blocks, between plots of a block
 * and between plants of a plot. In log-odds; for values in percent of the control's mean.
 */
export type Unevenness = {
  readonly block: number;
  readonly plot: number;
  readonly plant: number;
};

/** Standard deviation of everything by which one plant differs from the average one. */
export const spreadOf = ({ block, plot, plant }: Unevenness): number =>
  Math.hypot(block, plot, plant);

export const logistic = (x: number): number => 1 / (1 + Math.exp(-x));

/** Step and reach of the rule over the normal: the error of the trapezoidal rule is far below 1e-9. */
const STEP = 0.25;
const REACH = 8;

/** Mean of `of(x + sd Z)` over a standard normal Z, by the trapezoidal rule (Trefethen & Weideman 2014, SIAM Review 56:385). */
export function overNormal(of: (x: number) => number, x: number, sd: number): number {
  if (sd === 0) return of(x);
  let sum = 0;
  let weights = 0;
  for (let z = -REACH; z <= REACH; z += STEP) {
    const weight = Math.exp(-0.5 * z * z);
    weights += weight;
    sum += weight * of(x + sd * z);
  }
  return sum / weights;
}

/** Beyond this a log-odds is as good as never or always. */
const FARTHEST = 40;

/** The x at which a rising `of` takes `value`, by halving; the ends of the range where it never does. */
function whereRising(of: (x: number) => number, value: number): number {
  let low = -FARTHEST;
  let high = FARTHEST;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (of(middle) < value) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * Log-odds of the typical plant such that `share` is the mean over unlike plants: of a logistic
 * curve the mean of many is not the curve at their mean.
 */
export const typicalLogOdds = (share: number, sd: number): number =>
  whereRising((x) => overNormal(logistic, x, sd), share);

/** Distance of neighbouring grades on the log-odds scale: our guess, wide enough that all grades occur. */
const GRADE_STEP = 1.5;

/** Where a plant passes from one grade to the next: classes - 1 evenly spaced thresholds around 0. */
export const gradeThresholds = (classes: number): Float64Array =>
  Float64Array.from({ length: classes - 1 }, (_, k) => GRADE_STEP * (k - (classes - 2) / 2));

/** Place of the typical plant such that the mean grade index over unlike plants is `share`. */
export function typicalGrade(share: number, sd: number, thresholds: Float64Array): number {
  const index = (x: number): number => {
    let sum = 0;
    for (const threshold of thresholds) sum += logistic(x - threshold);
    return sum / thresholds.length;
  };
  return whereRising((x) => overNormal(index, x, sd), share);
}
