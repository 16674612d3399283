// Checks at the door of the distributions: a wrong argument is a fault of the caller, so it throws
// with the name, the rule and the value; it never turns into NaN further in.

/** Throws a RangeError unless value > 0 (Infinity allowed). */
export function requirePositive(name: string, value: number): void {
  if (!(value > 0)) throw new RangeError(`${name} must be above 0; got ${value}`);
}

/** Throws a RangeError unless value is a number (infinities allowed). */
export function requireNumber(name: string, value: number): void {
  if (Number.isNaN(value)) throw new RangeError(`${name} must be a number; got ${value}`);
}

/** Throws a RangeError unless 0 <= p <= 1. */
export function requireProbability(name: string, p: number): void {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`${name} must be between 0 and 1; got ${p}`);
}

/** Throws a RangeError unless value is a whole number of at least `least`. */
export function requireCount(name: string, value: number, least = 0): void {
  if (!Number.isInteger(value) || value < least) {
    throw new RangeError(`${name} must be a whole number of at least ${least}; got ${value}`);
  }
}

/** Which tail a probability is counted from. */
export type Tail = 'lower' | 'upper';

/** Both tails of a distribution at one point, each computed without subtracting the other where it is small. */
export type Tails = { readonly lower: number; readonly upper: number };
