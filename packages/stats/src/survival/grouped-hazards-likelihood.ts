import type { Likelihood } from '../mixed/likelihood';

/** Of each row, the first and the last class that it may be in; classes are counted from 0. */
export type ClassRuns = { readonly first: ArrayLike<number>; readonly last: ArrayLike<number> };

/** What a row's two thresholds make of it: summed hazards up to where its run begins, and within. */
type Hazards = { readonly before: number; readonly during: number; readonly rate: number };

const nothing: Hazards = { before: 0, during: Infinity, rate: 0 };

/**
 * Slopes by eta of log(1 - exp(-d)), d growing as exp(eta): q = d / (exp(d) - 1) and the slopes of
 * that in turn.
 */
const happened = (d: number) => {
  if (d === Infinity) return { value: 0, first: 0, second: 0, third: 0 };
  const first = d / Math.expm1(d);
  const second = first * (1 - first - d);
  const third = second * (1 - first - d) - first * (second + d);
  return { value: Math.log(-Math.expm1(-d)), first, second, third };
};

/**
 * Proportional hazards of something seen only in classes of days: with H_k = exp(threshold_k +
 * eta) the hazards summed up to the end of class k, P(in classes a to b) = exp(-H_(a-1)) -
 * exp(-H_b); H_(-1) = 0 and the last class has no end (Prentice & Gloeckler 1978, Biometrics
 * 34:57-67; runs of classes are intervals of days). Each row's logarithm is -H_(a-1) + log(1 -
 * exp(-(H_b - H_(a-1)))), without a difference of nearly equal numbers. `weights` multiplies rows.
 */
export const groupedHazardsLikelihood = (
  runs: ClassRuns,
  classes: number,
  weights?: ArrayLike<number>,
): Likelihood => {
  const rows = runs.first.length;
  const top = classes - 1;
  const weight = weights ? Float64Array.from(weights) : new Float64Array(rows).fill(1);
  const hazardsOf = (i: number, eta: number, shape: Float64Array): Hazards => {
    const a = runs.first[i];
    const b = runs.last[i];
    if (a === 0 && b === top) return nothing;
    const before = a === 0 ? 0 : Math.exp(shape[a - 1] + eta);
    if (b === top) return { before, during: Infinity, rate: 0 };
    const until = Math.exp(shape[b] + eta);
    const during = a === 0 ? until : until * -Math.expm1(shape[a - 1] - shape[b]);
    return { before, during, rate: until / during };
  };
  return {
    rows,
    shapes: top,
    evaluate: (eta, shape, { value, first, second, third }) => {
      for (let k = 1; k < top; k++) if (!(shape[k] > shape[k - 1])) return -Infinity;
      let total = 0;
      for (let i = 0; i < rows; i++) {
        const { before, during } = hazardsOf(i, eta[i], shape);
        const d = happened(during);
        value[i] = weight[i] * (d.value - before);
        first[i] = weight[i] * (d.first - before);
        second[i] = weight[i] * (d.second - before);
        third[i] = weight[i] * (d.third - before);
        total += value[i];
      }
      return Number.isNaN(total) ? -Infinity : total;
    },
    addShapeGradient: (eta, shape, row, gradient) => {
      for (let i = 0; i < rows; i++) {
        const { before, during, rate } = hazardsOf(i, eta[i], shape);
        const d = happened(during);
        const w0 = weight[i] * row.value[i];
        const w1 = weight[i] * row.first[i];
        const w2 = weight[i] * row.second[i];
        // By the threshold above: `during` grows by rate x itself, so each slope by eta times that.
        const byDuring = w0 * d.first + w1 * d.second + w2 * d.third;
        if (rate > 0) gradient[runs.last[i]] += rate * byDuring;
        if (before > 0) {
          const share = during === Infinity ? 0 : before / during;
          gradient[runs.first[i] - 1] -= before * (w0 + w1 + w2) + share * byDuring;
        }
      }
    },
  };
};
