/** Four derivatives of each row's log-likelihood by its linear predictor (the second negated). */
export type RowCurves = {
  readonly first: Float64Array;
  readonly weight: Float64Array;
  readonly third: Float64Array;
  readonly fourth: Float64Array;
};

/**
 * What was seen in each row. `evaluate` fills `curves` at the linear predictors and returns the
 * log-likelihood, constants left out. With a residual (normal values) its standard deviation is
 * the last of the spreads.
 */
export type RowResponse = {
  readonly rows: number;
  readonly residual: boolean;
  readonly evaluate: (eta: Float64Array, residualSd: number, curves: RowCurves) => number;
};

export const emptyRowCurves = (rows: number): RowCurves => ({
  first: new Float64Array(rows),
  weight: new Float64Array(rows),
  third: new Float64Array(rows),
  fourth: new Float64Array(rows),
});

/** Binomial counts, logit link. */
export const countResponse = (successes: Float64Array, trials: Float64Array): RowResponse => ({
  rows: successes.length,
  residual: false,
  evaluate: (eta, _residualSd, { first, weight, third, fourth }) => {
    let total = 0;
    for (let i = 0; i < eta.length; i++) {
      const x = eta[i];
      const n = trials[i];
      // One exponential serves p, q = 1 - p and log(1 + exp x), each without cancellation.
      const e = Math.exp(-Math.abs(x));
      const large = 1 / (1 + e);
      const small = e * large;
      const p = x > 0 ? large : small;
      const q = x > 0 ? small : large;
      const w = n * p * q;
      total += successes[i] * x - n * ((x > 0 ? x : 0) - Math.log(large));
      first[i] = successes[i] * q - (n - successes[i]) * p;
      weight[i] = w;
      third[i] = w * (p - q);
      fourth[i] = w * (6 * p * q - 1);
    }
    return total;
  },
});

/** Values that scatter normally around their linear predictor. */
export const normalResponse = (y: Float64Array): RowResponse => ({
  rows: y.length,
  residual: true,
  evaluate: (eta, sd, { first, weight, third, fourth }) => {
    const precision = 1 / (sd * sd);
    let total = -y.length * Math.log(sd);
    for (let i = 0; i < eta.length; i++) {
      const rest = y[i] - eta[i];
      total -= (rest * rest * precision) / 2;
      first[i] = rest * precision;
      weight[i] = precision;
    }
    third.fill(0);
    fourth.fill(0);
    return total;
  },
});
