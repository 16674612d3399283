import { type Likelihood, logistic, softplus } from './likelihood';

const shapeGradient =
  (
    grades: ArrayLike<number>,
    classes: number,
    weight: Float64Array,
  ): Likelihood['addShapeGradient'] =>
  (eta, shape, row, gradient) => {
    const top = classes - 1;
    const rows = grades.length;

    for (let i = 0; i < rows; i++) {
      const k = grades[i];
      const w0 = weight[i] * row.value[i];
      const w1 = weight[i] * row.first[i];
      const w2 = weight[i] * row.second[i];
      const gap = k > 0 && k < top ? 1 / Math.expm1(shape[k] - shape[k - 1]) : 0;
      if (k < top) {
        const x = shape[k] - eta[i];
        const f = logistic(x);
        const g = logistic(-x);
        gradient[k] += w0 * (g + gap) + w1 * f * g - w2 * f * g * (g - f);
      }
      if (k > 0) {
        const x = shape[k - 1] - eta[i];
        const f = logistic(x);
        const g = logistic(-x);
        gradient[k - 1] += -w0 * (f + gap) + w1 * f * g - w2 * f * g * (g - f);
      }
    }
  };

/**
 * Ordered classes 0..classes-1 with logit P(Y <= k) = threshold_k - eta (McCullagh 1980,
 * J. R. Statist. Soc. B 42:109-142). With a, b the thresholds above and below the class,
 * P = F(a - eta) (1 - F(b - eta)) (1 - exp(b - a)), whose logarithm splits into three terms, only
 * two of which move with eta: no difference of nearly equal probabilities is ever taken.
 * `weights` multiplies rows (one by default).
 */
export const ordinalLikelihood = (
  grades: ArrayLike<number>,
  classes: number,
  weights?: ArrayLike<number>,
): Likelihood => {
  const rows = grades.length;
  const top = classes - 1;
  const weight = weights ? Float64Array.from(weights) : new Float64Array(rows).fill(1);
  return {
    rows,
    shapes: top,
    evaluate: (eta, shape, { value, first, second, third }) => {
      for (let k = 1; k < top; k++) if (!(shape[k] > shape[k - 1])) return -Infinity;
      let total = 0;
      for (let i = 0; i < rows; i++) {
        const k = grades[i];
        let v = 0;
        let d1 = 0;
        let d2 = 0;
        let d3 = 0;
        if (k < top) {
          const x = shape[k] - eta[i];
          const f = logistic(x);
          const g = logistic(-x);
          v -= softplus(-x);
          d1 -= g;
          d2 -= f * g;
          d3 += f * g * (g - f);
        }
        if (k > 0) {
          const x = shape[k - 1] - eta[i];
          const f = logistic(x);
          const g = logistic(-x);
          v -= softplus(x);
          d1 += f;
          d2 -= f * g;
          d3 += f * g * (g - f);
        }
        if (k > 0 && k < top) v += Math.log(-Math.expm1(shape[k - 1] - shape[k]));
        value[i] = weight[i] * v;
        first[i] = weight[i] * d1;
        second[i] = weight[i] * d2;
        third[i] = weight[i] * d3;
        total += value[i];
      }
      return total;
    },
    addShapeGradient: shapeGradient(grades, classes, weight),
  };
};
