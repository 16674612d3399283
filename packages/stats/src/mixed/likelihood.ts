/**
 * What the fitting engine needs to know of a response: for each row the log-likelihood as a
 * function of its linear predictor, three derivatives of it, and how they move with the shape
 * parameters (precision of the beta-binomial, thresholds of the ordinal model; none for binomial).
 */
export type Curves = {
  readonly value: Float64Array;
  readonly first: Float64Array;
  readonly second: Float64Array;
  readonly third: Float64Array;
};

/** One weight a row for the value, the first and the second derivative. */
export type RowWeights = {
  readonly value: Float64Array;
  readonly first: Float64Array;
  readonly second: Float64Array;
};

export type Likelihood = {
  readonly rows: number;
  readonly shapes: number;
  /**
   * Fills `curves` at the linear predictors `eta` and returns the sum of the values, constants
   * included; -Infinity where the shape is impossible (thresholds out of order).
   */
  readonly evaluate: (eta: Float64Array, shape: Float64Array, curves: Curves) => number;
  /**
   * Adds to `gradient`, for each shape parameter s, the weighted sum over rows of the derivatives
   * by s of value, first and second derivative.
   */
  readonly addShapeGradient: (
    eta: Float64Array,
    shape: Float64Array,
    weights: RowWeights,
    gradient: Float64Array,
  ) => void;
};

/** Room for the value and derivatives of `rows` rows. */
export const emptyCurves = (rows: number): Curves => ({
  value: new Float64Array(rows),
  first: new Float64Array(rows),
  second: new Float64Array(rows),
  third: new Float64Array(rows),
});

/** log(1 + exp(x)) without overflow. */
export const softplus = (x: number): number =>
  x > 0 ? x + Math.log1p(Math.exp(-x)) : Math.log1p(Math.exp(x));

/** 1 / (1 + exp(-x)) without overflow. */
export const logistic = (x: number): number => {
  if (x >= 0) return 1 / (1 + Math.exp(-x));
  const e = Math.exp(x);
  return e / (1 + e);
};

/** log of the number of ways to choose `k` of `n`. */
export const logChoose = (n: number, k: number): number => {
  let sum = 0;
  const m = Math.min(k, n - k);
  for (let j = 1; j <= m; j++) sum += Math.log((n - m + j) / j);
  return sum;
};
