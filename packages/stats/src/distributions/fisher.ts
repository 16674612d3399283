import { requireNumber, requirePositive, type Tail, type Tails } from './arguments';
import { incompleteBeta } from './incomplete-beta';
import { incompleteGamma } from './incomplete-gamma';
import { positiveQuantile } from './quantile';

function fTails(f: number, df1: number, df2: number): Tails {
  if (df2 === Infinity) return incompleteGamma((f * df1) / 2, df1 / 2);
  // Divided through so that neither share overflows or cancels.
  const ratio = (df1 / df2) * f;
  if (ratio === Infinity) return { lower: 1, upper: 0 };
  return incompleteBeta(ratio / (1 + ratio), 1 / (1 + ratio), df1 / 2, df2 / 2);
}

function checkedTails(f: number, df1: number, df2: number): Tails {
  requireNumber('F', f);
  requirePositive('numerator degrees of freedom', df1);
  requirePositive('denominator degrees of freedom', df2);
  return f <= 0 ? { lower: 0, upper: 1 } : fTails(f, df1, df2);
}

/** P(F > f), the p-value of a variance ratio on df1 and df2 degrees of freedom (df2 may be Infinity). */
export function fUpper(f: number, df1: number, df2: number): number {
  return checkedTails(f, df1, df2).upper;
}

/** P(F <= f) on df1 and df2 degrees of freedom (Abramowitz & Stegun 26.6.2). */
export function fCdf(f: number, df1: number, df2: number): number {
  return checkedTails(f, df1, df2).lower;
}

/** The f with P(F <= f) = p (or P(F > f) = p). */
export function fQuantile(p: number, df1: number, df2: number, tail: Tail = 'lower'): number {
  requirePositive('numerator degrees of freedom', df1);
  requirePositive('denominator degrees of freedom', df2);
  return positiveQuantile((f) => fTails(f, df1, df2), p, tail, 1);
}
