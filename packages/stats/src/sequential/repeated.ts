import { rootBetween } from '../distributions/root';
import { spendingBounds } from './bounds';
import type { Spending } from './spending';

/**
 * Repeated confidence intervals, one a look: estimate +- z[k] se. With the z of bounds of error rate
 * alpha they hold all together with 1 - alpha, whatever the reason for stopping. Jennison & Turnbull
 * 1989, J. R. Statist. Soc. B 51:305; 2000, section 9.2. A bound of Infinity gives no ends.
 */
export function repeatedIntervals(
  looks: readonly { readonly estimate: number; readonly se: number }[],
  z: readonly number[],
): readonly { readonly low: number | undefined; readonly high: number | undefined }[] {
  return looks.map(({ estimate, se }, k) =>
    Number.isFinite(z[k])
      ? { low: estimate - z[k] * se, high: estimate + z[k] * se }
      : { low: undefined, high: undefined },
  );
}

/** Below this an error rate is no longer told apart. */
const LEAST = 1e-12;

/**
 * Repeated p-value of each look: the error rate at which the look's |z| would lie just on its bound,
 * or a smaller one of a look before (what has once been shown stays shown). A repeated interval of
 * error rate alpha leaves 0 out just when its p is below alpha. Jennison & Turnbull 2000, section
 * 9.3. At least 1e-12; 1 where no error rate would do.
 *
 * @param z Statistic of each look so far.
 * @param information Share of the information at each, rising from above 0.
 */
export function repeatedPValues(
  z: readonly number[],
  information: readonly number[],
  spending: Spending,
): readonly number[] {
  let least = 1;
  return z.map((value, k) => {
    const upTo = information.slice(0, k + 1);
    const gap = (logAlpha: number): number => {
      const bound = spendingBounds({ information: upTo, alpha: Math.exp(logAlpha), spending }).z[k];
      return Math.abs(value) - bound;
    };
    const [low, high] = [Math.log(LEAST), Math.log(1 - LEAST)];
    const p =
      gap(low) >= 0 ? LEAST : gap(high) < 0 ? 1 : Math.exp(rootBetween(gap, low, high, 1e-12));
    least = Math.min(least, p);
    return least;
  });
}
