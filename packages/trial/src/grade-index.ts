/** Ordered classes of a grade, the healthy one first or last. */
export type GradeScale = { readonly classes: readonly number[]; readonly healthy: number };

/** The sick end of the scale; undefined where the scale has fewer than two ends. */
function worstOf({ classes, healthy }: GradeScale): number | undefined {
  const worst = classes[0] === healthy ? classes.at(-1) : classes[0];
  return worst === healthy ? undefined : worst;
}

/**
 * Disease index of Townsend & Heuberger (1943, Plant Dis. Reporter 27:340; the same as McKinney
 * 1923), percent: 100 x mean |grade - healthy| / |worst - healthy|. With classes 0 to V and 0
 * healthy that is sum(n v) / (N V) x 100. The healthy class may be at the top, or not zero.
 * Undefined with no grades or a scale of one class. It takes the steps between classes as equal.
 */
export function gradeIndex(grades: readonly number[], scale: GradeScale): number | undefined {
  const worst = worstOf(scale);
  if (worst === undefined || grades.length === 0) return undefined;
  const away = grades.reduce((sum, grade) => sum + Math.abs(grade - scale.healthy), 0);
  return (100 * away) / grades.length / Math.abs(worst - scale.healthy);
}

/** Percent of the scale that one step of a grade is worth; undefined for a scale of one class. */
export function percentPerStep(scale: GradeScale): number | undefined {
  const worst = worstOf(scale);
  return worst === undefined ? undefined : 100 / Math.abs(worst - scale.healthy);
}
