import { type Between, type Cell, cellsOf, type Within } from './cells';
import { climbMasses } from './masses';

/** A stretch of days that holds mass; within it the curve falls, where is not known. */
export type TurnbullStep = Cell & {
  readonly mass: number;
  /** Share to which it has not happened after the stretch. */
  readonly survival: number;
};

export type Turnbull = {
  readonly n: number;
  /** Stretches with mass, earliest first; the last may have no end (`to` Infinity: not yet). */
  readonly steps: readonly TurnbullStep[];
  readonly logLik: number;
  /** Largest slope of the likelihood towards any stretch beyond what a maximum allows, per value. */
  readonly excess: number;
  /** `excess` is nothing (below 1e-8): no curve has a higher likelihood (Kuhn and Tucker). */
  readonly isMaximum: boolean;
  /** False where masses can be moved between stretches without changing the likelihood. */
  readonly unique: boolean;
  readonly iterations: number;
  /** Of each value, the first and the last step it may have happened in. */
  readonly within: Within;
};

const KUHN_TUCKER = 1e-8;

/**
 * Turnbull's estimate (1976, JRSS B 38:290-295) of the share to which it has not happened: the
 * masses on the innermost intersections of the intervals (Peto 1973, Appl. Statist. 22:86-91) that
 * maximise the likelihood. With exact days it is Kaplan and Meier's curve. Inside a stretch the
 * curve is not defined; where rounds are weekly, that is a week.
 *
 * Self-consistency steps, then Newton steps on the stretches that hold mass; stopped and checked
 * by the conditions of Kuhn and Tucker (Gentleman & Geyer 1994, Biometrika 81:618-623). Undefined
 * without values.
 *
 * @throws RangeError for columns of different length or an interval that ends before it begins.
 */
export function turnbull(between: Between): Turnbull | undefined {
  const { cells, within } = cellsOf(between);
  const n = within.first.length;
  if (n === 0) return undefined;
  const { mass, logLik, excess, unique, iterations } = climbMasses(within, cells.length);
  const place = new Int32Array(cells.length);
  const steps: TurnbullStep[] = [];
  let below = 0;
  let held = 0;
  for (const m of mass) if (m > 0) held++;
  cells.forEach((cell, j) => {
    // Next step at or after the cell, for `first`; `last` takes off one where the cell is empty.
    place[j] = steps.length;
    if (mass[j] === 0) return;
    below += mass[j];
    const last = steps.length === held - 1;
    steps.push({ ...cell, mass: mass[j], survival: last ? 0 : 1 - below });
  });
  const isMaximum = excess < KUHN_TUCKER;
  return {
    n,
    steps,
    logLik,
    excess,
    isMaximum,
    unique,
    iterations,
    within: {
      first: within.first.map((j) => place[j]),
      last: within.last.map((j) => place[j] - (mass[j] === 0 ? 1 : 0)),
    },
  };
}
