import { chiSquareUpper } from '../distributions/gamma';
import { fitOrdinalMixed } from './ordinal-mixed';

/** Whether treatments shift all thresholds alike. */
export type OddsCheck = {
  readonly statistic: number;
  readonly df: number;
  /** Rows taken one by one; too small where several belong to one plot. */
  readonly p: number;
};

/**
 * Check of proportional odds: the cumulative logit model without random effects against one with
 * thresholds of its own for every treatment, which fits the share of each grade in each treatment
 * exactly (nominal effects: Peterson & Harrell 1990, Appl. Statist. 39:205-217). Likelihood ratio,
 * chi-square on (treatments - 1) (classes - 2). Undefined with fewer than three classes or two
 * treatments, and where the shifted model has no finite estimate.
 *
 * @throws ModelError for impossible grades or codes.
 */
export const oddsCheck = (input: {
  readonly grades: ArrayLike<number>;
  readonly classes: number;
  readonly group: ArrayLike<number>;
  readonly groups: number;
}): OddsCheck | undefined => {
  const { grades, classes, group, groups } = input;
  const counts = new Float64Array(groups * classes);
  const sizes = new Float64Array(groups);
  const used = new Set<number>();
  for (let i = 0; i < grades.length; i++) {
    counts[group[i] * classes + grades[i]]++;
    sizes[group[i]]++;
    used.add(grades[i]);
  }
  const present = sizes.reduce((n, size) => n + (size > 0 ? 1 : 0), 0);
  if (used.size < 3 || present < 2) return undefined;
  const levels = Array.from({ length: groups }, (_, g) => String(g));
  const reference = levels[sizes.findIndex((size) => size > 0)];
  const shifted = fitOrdinalMixed({
    grades,
    classes,
    fixed: { factors: [{ name: 'group', codes: group, levels, reference }] },
    random: [],
  });
  if (shifted.penalised !== undefined || !shifted.how.converged) return undefined;
  const free = counts.reduce(
    (sum, count, at) =>
      count === 0 ? sum : sum + count * Math.log(count / sizes[Math.floor(at / classes)]),
    0,
  );
  const statistic = Math.max(0, 2 * (free - shifted.logLik));
  const df = (present - 1) * (used.size - 2);
  return { statistic, df, p: chiSquareUpper(statistic, df) };
};
