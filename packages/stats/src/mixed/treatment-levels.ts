import { type FixedEffects, referenceIndex } from './design';
import type { Coefficient } from './coefficients';

/** For each level of the first factor that has data: its weights on the fit's coefficients. */
export type LevelFunction = { readonly level: string; readonly weights: Float64Array };

const levelsWithRows = (
  codes: ArrayLike<number>,
  usable: (row: number) => boolean,
): Set<number> => {
  const seen = new Set<number>();
  for (let i = 0; i < codes.length; i++) if (usable(i)) seen.add(codes[i]);
  return seen;
};

/**
 * Least-squares means as linear functions of the coefficients: the level's own column, and every
 * other factor averaged evenly over its levels (Searle, Speed & Milliken 1980, Am. Statist.
 * 34:216-221). Undefined unless the design is made of factors and all its columns were kept.
 */
export const levelFunctions = (
  fixed: FixedEffects,
  coefficients: readonly Coefficient[],
  dropped: readonly string[],
  usable: (row: number) => boolean,
): LevelFunction[] | undefined => {
  if (!('factors' in fixed) || fixed.factors.length === 0 || dropped.length > 0) return undefined;
  const at = new Map(coefficients.map((c, i) => [c.name, i]));
  const base = new Float64Array(coefficients.length);
  const intercept = at.get('(Intercept)');
  if (intercept !== undefined) base[intercept] = 1;
  for (const factor of fixed.factors.slice(1)) {
    const seen = levelsWithRows(factor.codes, usable);
    for (const l of seen) {
      const column = at.get(`${factor.name} ${factor.levels[l]}`);
      if (column !== undefined) base[column] = 1 / seen.size;
    }
  }
  const treatment = fixed.factors[0];
  const reference = referenceIndex(treatment);
  return [...levelsWithRows(treatment.codes, usable)]
    .sort((a, b) => a - b)
    .map((l) => {
      const weights = base.slice();
      const level = treatment.levels[l];
      const column = l === reference ? undefined : at.get(level);
      if (column !== undefined) weights[column] = 1;
      return { level, weights };
    });
};
