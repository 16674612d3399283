import { type Held, maximise, type Maximum, type Smooth } from './maximise';

export type BoundedMaximum = Maximum & {
  /** Which of the even parameters ended at exactly zero. */
  readonly atZero: Held;
};

/** A standard deviation below this is tried at zero. */
const SMALL = 0.05;
const NO_WORSE = 1e-9;
const WORTH_A_REFIT = 0.05;
/** From zero, these values are tried, in case the rise starts further out. */
const PROBES = [0.1, 0.3, 0.8];

const withZeros = (point: Float64Array, zero: Held): Float64Array =>
  point.map((v, i) => (zero[i] ? 0 : v));

/** Sets `extra` to zero besides those already there and refits; undefined if that costs anything. */
const without = (f: Smooth, from: BoundedMaximum, extra: Held): BoundedMaximum | undefined => {
  const atZero = from.atZero.map((z, i) => z || extra[i]);
  const start = withZeros(from.point, atZero);
  if (!(f(start) >= from.value - WORTH_A_REFIT)) return undefined;
  const refit = maximise(f, start, { held: atZero, information: from.information });
  if (refit.value < from.value - NO_WORSE) return undefined;
  return { ...refit, atZero, iterations: from.iterations + refit.iterations };
};

/** Sets to zero the small even parameters that cost nothing there: all at once or one by one. */
const snap = (f: Smooth, found: Maximum, even: Held): BoundedMaximum => {
  let best: BoundedMaximum = { ...found, atZero: even.map(() => false) };
  const small = even.map((e, i) => e && Math.abs(found.point[i]) < SMALL);
  const count = small.filter(Boolean).length;
  if (count === 0) return best;
  const together = without(f, best, small);
  if (together) return together;
  for (let i = 0; count > 1 && i < small.length; i++) {
    if (!small[i]) continue;
    best =
      without(
        f,
        best,
        small.map((_, j) => j === i),
      ) ?? best;
  }
  return best;
};

/** A better start with one of the zero parameters away from zero, if there is one. */
const escape = (f: Smooth, found: BoundedMaximum): Float64Array | undefined => {
  for (let i = 0; i < found.atZero.length; i++) {
    if (!found.atZero[i]) continue;
    for (const probe of PROBES) {
      const point = found.point.slice();
      point[i] = probe;
      if (f(point) > found.value + 1e-8) return point;
    }
  }
  return undefined;
};

/**
 * Maximises a function that is even in some parameters (standard deviations): the sign carries no
 * meaning, zero is a stationary point. Zero is taken exactly where it is a maximum, and left again
 * where the function rises further out.
 */
export const maximiseEven = (f: Smooth, start: Float64Array, even: Held): BoundedMaximum => {
  const none = even.map(() => false);
  let found = snap(f, maximise(f, start, { held: none }), even);
  for (let attempt = 0; attempt < 3; attempt++) {
    const point = escape(f, found);
    if (!point) break;
    const again = snap(f, maximise(f, point, { held: none }), even);
    if (again.value <= found.value + NO_WORSE) break;
    found = { ...again, iterations: found.iterations + again.iterations };
  }
  // Leaves the objective's own state (modes) at the answer, not at a differencing point.
  const value = f(found.point);
  const point = found.point.map((v, i) => (even[i] ? Math.abs(v) : v));
  return { ...found, value, point };
};
