/**
 * Why a figure is missing. Codes, not sentences: the room that speaks to growers words them.
 *
 * - `no-observations`: the level has no plots in this analysis.
 * - `not-estimable`: the layout ties this effect to another; no data of this kind can part them.
 * - `no-residual-df`: nothing is left over to measure plot-to-plot variation.
 * - `no-variation`: every value is the same, as far as numbers are kept.
 * - `perfect-fit`: values differ, but the model explains all of it; no variation is left to judge by.
 */
export type Missing =
  | 'no-observations'
  | 'not-estimable'
  | 'no-residual-df'
  | 'no-variation'
  | 'perfect-fit';

/** The variation left over when the model is fitted: known with its degrees of freedom, or why not. */
export type Spread =
  | { readonly known: true; readonly df: number; readonly ms: number; readonly sd: number }
  | { readonly known: false; readonly df: number; readonly why: Missing };

/**
 * Below this share of the largest absolute value, a root mean square counts as nothing. No score
 * is known to twelve figures, while the sums and means behind a plot's value carry rounding errors
 * near the sixteenth; so what is smaller is arithmetic, not variation, and an F or t made of it
 * would be noise over noise.
 */
export const NOTHING = 1e-12;

/** The largest absolute value of `values`; 0 for none. */
export function largestAbsolute(values: ArrayLike<number>): number {
  let largest = 0;
  for (let i = 0; i < values.length; i++) largest = Math.max(largest, Math.abs(values[i]));
  return largest;
}

/** True when a sum of squares over `n` values is rounding noise beside values as large as `scale`. */
export function isNothing(ss: number, n: number, scale: number): boolean {
  return Math.sqrt(ss / n) <= NOTHING * scale;
}
