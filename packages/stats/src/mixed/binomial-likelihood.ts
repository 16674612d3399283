import { type Likelihood, logChoose } from './likelihood';

/**
 * Binomial counts with logit link: log C(n, y) + y eta - n log(1 + exp eta). Counts need not be
 * whole for the penalty's pseudo-counts, which leave the constant out (`constants: false`).
 */
export const binomialLikelihood = (
  successes: ArrayLike<number>,
  trials: ArrayLike<number>,
  constants = true,
): Likelihood => {
  const rows = successes.length;
  const y = Float64Array.from(successes);
  const n = Float64Array.from(trials);
  const constant = y.map((v, i) => (constants ? logChoose(n[i], v) : 0));
  return {
    rows,
    shapes: 0,
    evaluate: (eta, _shape, { value, first, second, third }) => {
      let total = 0;
      for (let i = 0; i < rows; i++) {
        const x = eta[i];
        // One exponential serves p, q = 1 - p and log(1 + exp x), each without cancellation.
        const e = Math.exp(-Math.abs(x));
        const large = 1 / (1 + e);
        const p = x > 0 ? large : e * large;
        const q = x > 0 ? e * large : large;
        value[i] = constant[i] + y[i] * x - n[i] * (Math.max(x, 0) + Math.log1p(e));
        // y q - (n - y) p: no cancellation when all or none are diseased.
        first[i] = y[i] * q - (n[i] - y[i]) * p;
        second[i] = -n[i] * p * q;
        third[i] = second[i] * (q - p);
        total += value[i];
      }
      return total;
    },
    addShapeGradient: () => undefined,
  };
};
