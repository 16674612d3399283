import { ModelError } from './design';

/** Diseased leaves out of leaves looked at, row by row. */
export type Counts = {
  readonly successes: ArrayLike<number>;
  readonly trials: ArrayLike<number>;
};

/** Rows with at least one trial. Throws ModelError on counts that can't be. */
export const usableRows = ({ successes, trials }: Counts): number[] => {
  if (successes.length !== trials.length) {
    throw new ModelError(`${successes.length} successes for ${trials.length} trials`);
  }
  const kept: number[] = [];
  for (let i = 0; i < trials.length; i++) {
    const y = successes[i];
    const n = trials[i];
    if (!Number.isInteger(n) || n < 0 || !Number.isInteger(y) || y < 0 || y > n) {
      throw new ModelError(
        `row ${i}: needs whole numbers 0 <= successes <= trials; got ${y} of ${n}`,
      );
    }
    if (n > 0) kept.push(i);
  }
  if (kept.length === 0) throw new ModelError('no row has any trials');
  return kept;
};

/** The values at the rows given. */
export const pick = (values: ArrayLike<number>, rows: readonly number[]): Float64Array =>
  Float64Array.from(rows, (i) => values[i]);
