import { normalQuantile } from './distributions/normal';

/**
 * A seeded stream of chance. The whole-number draws (next, below, shuffle, uniform, binomial) use
 * 32-bit integers and exactly rounded arithmetic only, so one seed gives one layout on every machine;
 * `normal` also calls the logarithm, whose last bit may differ between engines.
 */
export type Random = {
  /** A whole number from 0 to 2^32 - 1, all equally likely. */
  readonly next: () => number;
  /** A number in [0, 1) with 53 random bits. */
  readonly uniform: () => number;
  /** A whole number from 0 to n - 1, all exactly equally likely; n from 1 to 2^32. */
  readonly below: (n: number) => number;
  /** Puts the entries in random order, in place; every order is equally likely. */
  readonly shuffle: (entries: Shufflable) => void;
  /** A standard normal. */
  readonly normal: () => number;
  /** The number of successes in n trials of chance p. */
  readonly binomial: (n: number, p: number) => number;
  /**
   * A second stream for another purpose: it goes on from here, and this one jumps 2^64 draws ahead,
   * so the two do not overlap.
   */
  readonly split: () => Random;
};

/** An array or typed array whose entries may change places. */
export type Shufflable = { readonly length: number; [index: number]: unknown };

/** The four 32-bit words of the generator, not all zero. */
export type RandomState = readonly [number, number, number, number];

const JUMP = [0x8764000b, 0xf542d2d3, 0x6fa035c3, 0x77f2db5b];
const TWO_32 = 4294967296;

/**
 * A stream from a seed: a whole number from 0 to 2^32 - 1.
 * The generator is xoshiro128** 1.1 of D. Blackman & S. Vigna (2021), "Scrambled linear pseudorandom
 * number generators", ACM Trans. Math. Softw. 47:36; its state is filled by a splitmix generator on 32
 * bits: a Weyl sequence of step 0x9e3779b9 through the finaliser of MurmurHash3 (the construction of
 * G. L. Steele, D. Lea & C. H. Flood 2014, OOPSLA, "Fast splittable pseudorandom number generators").
 * Throws a RangeError for any other seed: quietly folding one would let two seeds share a layout.
 */
export function createRandom(seed: number): Random {
  if (!Number.isInteger(seed) || seed < 0 || seed >= TWO_32) {
    throw new RangeError(`seed must be a whole number from 0 to ${TWO_32 - 1}; got ${seed}`);
  }
  let weyl = seed | 0;
  const word = (): number => {
    weyl = (weyl + 0x9e3779b9) | 0;
    return finalise(weyl) >>> 0;
  };
  return randomFromState([word(), word(), word(), word()]);
}

// A bijection of 32 bits: four different Weyl steps give four different words, so never all zero.
function finalise(h: number): number {
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}

function rotateLeft(x: number, k: number): number {
  return (x << k) | (x >>> (32 - k));
}

/** The stream that goes on from a given state; createRandom is the ordinary way in. */
export function randomFromState(state: RandomState): Random {
  const s = Int32Array.from(state, (w) => w | 0);
  const next = (): number => {
    const result = Math.imul(rotateLeft(Math.imul(s[1], 5), 7), 9) >>> 0;
    const t = s[1] << 9;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotateLeft(s[3], 11);
    return result;
  };
  const uniform = (): number => ((next() >>> 5) * 67108864 + (next() >>> 6)) / 9007199254740992;
  const below = (n: number): number => drawBelow(next, n);
  return {
    next,
    uniform,
    below,
    shuffle: (entries) => shuffleWith(below, entries),
    normal: () => normalQuantile(uniform() + 5.551115123125783e-17),
    binomial: (n, p) => drawBinomial(uniform, n, p),
    split: () => {
      const branch = randomFromState([s[0], s[1], s[2], s[3]]);
      jumpAhead(s, next);
      return branch;
    },
  };
}

/** Moves the state 2^64 draws on, by the generator's jump polynomial (Blackman & Vigna 2021). */
function jumpAhead(s: Int32Array, next: () => number): void {
  const sum = new Int32Array(4);
  for (const word of JUMP) {
    for (let bit = 0; bit < 32; bit++) {
      if ((word >>> bit) & 1) for (let i = 0; i < 4; i++) sum[i] ^= s[i];
      next();
    }
  }
  s.set(sum);
}

// Draws beyond the last whole multiple of n are thrown away: the remainder is then exactly even.
function drawBelow(next: () => number, n: number): number {
  if (!Number.isInteger(n) || n < 1 || n > TWO_32) {
    throw new RangeError(`n of below must be a whole number from 1 to ${TWO_32}; got ${n}`);
  }
  const limit = TWO_32 - (TWO_32 % n);
  let x = next();
  while (x >= limit) x = next();
  return x % n;
}

// Fisher-Yates, from the end (Durstenfeld 1964, CACM 7:420).
function shuffleWith(below: (n: number) => number, entries: Shufflable): void {
  for (let i = entries.length - 1; i > 0; i--) {
    const j = below(i + 1);
    const held = entries[i];
    entries[i] = entries[j];
    entries[j] = held;
  }
}

/** Successes expected in one pass of the inversion, so that (1 - p)^n stays far from underflow. */
const PASS_MEAN = 30;

// Inversion from 0 (Kachitvichyanukul & Schmeiser 1988, CACM 31:216, BINV), in passes of a modest mean:
// a sum of independent binomials of one chance is binomial. Only + - * / are used.
function drawBinomial(uniform: () => number, n: number, p: number): number {
  if (!Number.isInteger(n) || n < 0) {
    throw new RangeError(`n of binomial must be a whole number of at least 0; got ${n}`);
  }
  if (!(p >= 0 && p <= 1)) {
    throw new RangeError(`p of binomial must be between 0 and 1; got ${p}`);
  }
  if (p > 0.5) return n - drawBinomial(uniform, n, 1 - p);
  if (p === 0) return 0;
  const most = Math.max(1, Math.floor(PASS_MEAN / p));
  let left = n;
  let successes = 0;
  while (left > 0) {
    const pass = Math.min(left, most);
    successes += invertBinomial(uniform(), pass, p);
    left -= pass;
  }
  return successes;
}

function invertBinomial(u: number, n: number, p: number): number {
  const odds = p / (1 - p);
  let density = wholePower(1 - p, n);
  let x = 0;
  while (u >= density && x < n) {
    u -= density;
    x++;
    density *= (odds * (n - x + 1)) / x;
  }
  return x;
}

// By squaring, not Math.pow, whose last bit is the engine's choice.
function wholePower(base: number, exponent: number): number {
  let result = 1;
  for (let e = exponent, square = base; e > 0; e = Math.floor(e / 2), square *= square) {
    if (e % 2 === 1) result *= square;
  }
  return result;
}
