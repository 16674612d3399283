/**
 * Root of a function that changes sign once, by T. R. Chandrupatla (1997), "A new hybrid
 * quadratic/bisection algorithm", Advances in Engineering Software 28:145-149.
 * `a` and `b` must bracket the root; infinite values of f are met by bisection.
 * Stops when the bracket is below `tolerance` (absolute, plus rounding of the end points).
 */
export function rootBetween(
  f: (u: number) => number,
  a: number,
  b: number,
  tolerance: number,
): number {
  let [x1, x2] = [b, a];
  let [f1, f2] = [f(b), f(a)];
  let x3 = x1;
  let f3 = f1;
  let t = 0.5;
  for (let i = 0; i < 200; i++) {
    const x = x1 + t * (x2 - x1);
    const fx = f(x);
    if (Math.sign(fx) === Math.sign(f1)) {
      x3 = x1;
      f3 = f1;
    } else {
      [x3, x2] = [x2, x1];
      [f3, f2] = [f2, f1];
    }
    x1 = x;
    f1 = fx;
    const best = Math.abs(f2) < Math.abs(f1) ? x2 : x1;
    if (f1 === 0) return x1;
    const limit = (2e-16 * Math.abs(best) + 0.5 * tolerance) / Math.abs(x2 - x1);
    if (limit > 0.5) return best;
    t = Math.min(1 - limit, Math.max(limit, nextFraction([x1, x2, x3], [f1, f2, f3])));
  }
  return x1;
}

type Three = readonly [number, number, number];

/** Where to look next, as a fraction of the bracket: inverse quadratic when safe, else the middle. */
function nextFraction([x1, x2, x3]: Three, [f1, f2, f3]: Three): number {
  if (!Number.isFinite(f1) || !Number.isFinite(f2) || !Number.isFinite(f3)) return 0.5;
  const xi = (x1 - x2) / (x3 - x2);
  const phi = (f1 - f2) / (f3 - f2);
  if (!(phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi)) return 0.5;
  const inner = (f1 / (f2 - f1)) * (f3 / (f2 - f3));
  const outer = ((x3 - x1) / (x2 - x1)) * (f1 / (f3 - f1)) * (f2 / (f3 - f2));
  return inner + outer;
}

/**
 * Root of a monotone function: walks from `start` with growing steps until the sign changes, then
 * narrows by rootBetween. `rising` says whether f grows with u. Looks no further than +-800, where
 * a logarithm has left the range of doubles.
 */
export function monotoneRoot(
  f: (u: number) => number,
  start: number,
  rising: boolean,
  tolerance: number,
): number {
  const first = f(start);
  if (first === 0) return start;
  const direction = first < 0 === rising ? 1 : -1;
  let step = 0.5;
  let previous = start;
  while (Math.abs(previous) < 800) {
    const next = previous + direction * step;
    if (Math.sign(f(next)) !== Math.sign(first)) {
      return rootBetween(f, previous, next, tolerance);
    }
    previous = next;
    step *= 2;
  }
  return previous;
}
