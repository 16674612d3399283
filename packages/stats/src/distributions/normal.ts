import { requireNumber, requireProbability } from './arguments';

// Rational approximations of W. J. Cody (1969), "Rational Chebyshev approximations for the error
// function", Math. Comp. 23:631-637, in the scaling for the normal integral.
const BODY_P = [
  2.2352520354606839287, 161.02823106855587881, 1067.6894854603709582, 18154.981253343561249,
  0.065682337918207449113,
];
const BODY_Q = [
  47.20258190468824187, 976.09855173777669322, 10260.932208618978205, 45507.789335026729956,
];
const MIDDLE_P = [
  0.39894151208813466764, 8.8831497943883759412, 93.506656132177855979, 597.27027639480026226,
  2494.5375852903726711, 6848.1904505362823326, 11602.651437647350124, 9842.7148383839780218,
  1.0765576773720192317e-8,
];
const MIDDLE_Q = [
  22.266688044328115691, 235.38790178262499861, 1519.377599407554805, 6485.558298266760755,
  18615.571640885098091, 34900.952721145977266, 38912.003286093271411, 19685.429676859990727,
];
const TAIL_P = [
  0.21589853405795699, 0.1274011611602473639, 0.022235277870649807, 0.001421619193227893466,
  2.9112874951168792e-5, 0.02307344176494017303,
];
const TAIL_Q = [
  1.28426009614491121, 0.468238212480865118, 0.0659881378689285515, 0.00378239633202758244,
  7.29751555083966205e-5,
];
const INV_SQRT_2PI = 0.398942280401432677939946059934;
const SQRT_32 = 5.656854249492380195206754896838;

/** Standard normal density at z. */
export function normalDensity(z: number): number {
  return INV_SQRT_2PI * expMinusHalfSquare(z);
}

// z is split into a 24-bit head, whose square is exact, and a rest, so that z^2 loses no digits in the
// far tail; the rest changes the exponent by less than 1e-4, where three terms of exp are exact.
function expMinusHalfSquare(z: number): number {
  const head = Math.fround(z);
  const rest = -0.5 * (z - head) * (z + head);
  return Math.exp(-0.5 * head * head) * (1 + rest * (1 + rest * (0.5 + rest / 6)));
}

function bodyIntegral(z: number): number {
  const s = z * z;
  const top = (((BODY_P[4] * s + BODY_P[0]) * s + BODY_P[1]) * s + BODY_P[2]) * s + BODY_P[3];
  const bottom = (((s + BODY_Q[0]) * s + BODY_Q[1]) * s + BODY_Q[2]) * s + BODY_Q[3];
  return (z * top) / bottom;
}

// Written out, not looped: this is the innermost line of every integral in this room.
function middleRatio(y: number): number {
  const p = MIDDLE_P;
  const q = MIDDLE_Q;
  let top = (((p[8] * y + p[0]) * y + p[1]) * y + p[2]) * y + p[3];
  let bottom = (((y + q[0]) * y + q[1]) * y + q[2]) * y + q[3];
  top = ((top * y + p[4]) * y + p[5]) * y + p[6];
  bottom = ((bottom * y + q[4]) * y + q[5]) * y + q[6];
  return (top * y + p[7]) / (bottom * y + q[7]);
}

/** Upper tail for y > 0.67448975. */
function tailIntegral(y: number): number {
  if (y > 38.6) return 0;
  if (y <= SQRT_32) return middleRatio(y) * expMinusHalfSquare(y);
  const s = 1 / (y * y);
  let top = TAIL_P[5] * s;
  let bottom = s;
  for (let i = 0; i < 4; i++) {
    top = (top + TAIL_P[i]) * s;
    bottom = (bottom + TAIL_Q[i]) * s;
  }
  const ratio = (s * (top + TAIL_P[4])) / (bottom + TAIL_Q[4]);
  return ((INV_SQRT_2PI - ratio) / y) * expMinusHalfSquare(y);
}

/**
 * P(Z > z) for a standard normal Z, to about 1e-15 relative in both tails (Cody 1969).
 * Throws a RangeError when z is not a number.
 */
export function normalUpper(z: number): number {
  requireNumber('z', z);
  return upperTail(z);
}

/** normalUpper without the check of its argument, for inner loops of the integrals in this room. */
export function upperTail(z: number): number {
  if (z > 0.67448975) return tailIntegral(z);
  if (z < -0.67448975) return 1 - tailIntegral(-z);
  return 0.5 - bodyIntegral(z);
}

/** P(Z <= z) for a standard normal Z; see normalUpper. */
export function normalCdf(z: number): number {
  return normalUpper(-z);
}

// M. J. Wichura (1988), algorithm AS 241 (PPND16), Applied Statistics 37:477-484.
const CENTRE_A = [
  3.387132872796366608, 133.14166789178437745, 1971.5909503065514427, 13731.693765509461125,
  45921.953931549871457, 67265.770927008700853, 33430.575583588128105, 2509.0809287301226727,
];
const CENTRE_B = [
  1, 42.313330701600911252, 687.1870074920579083, 5394.1960214247511077, 21213.794301586595867,
  39307.89580009271061, 28729.085735721942674, 5226.495278852545925,
];
const NEAR_A = [
  1.42343711074968357734, 4.6303378461565452959, 5.7694972214606914055, 3.64784832476320460504,
  1.27045825245236838258, 0.24178072517745061177, 0.0227238449892691845833,
  7.7454501427834140764e-4,
];
const NEAR_B = [
  1, 2.05319162663775882187, 1.6763848301838038494, 0.68976733498510000455, 0.14810397642748007459,
  0.0151986665636164571966, 5.475938084995344946e-4, 1.05075007164441684324e-9,
];
const FAR_A = [
  6.6579046435011037772, 5.4637849111641143699, 1.7848265399172913358, 0.29656057182850489123,
  0.026532189526576123093, 0.0012426609473880784386, 2.71155556874348757815e-5,
  2.01033439929228813265e-7,
];
const FAR_B = [
  1, 0.59983220655588793769, 0.13692988092273580531, 0.0148753612908506148525,
  7.868691311456132591e-4, 1.8463183175100546818e-5, 1.4215117583164458887e-7,
  2.04426310338993978564e-15,
];

function polynomial(c: readonly number[], x: number): number {
  let sum = 0;
  for (let i = c.length - 1; i >= 0; i--) sum = sum * x + c[i];
  return sum;
}

/**
 * The z with P(Z <= z) = p (or P(Z > z) = p for the upper tail), to about 1e-15 relative
 * (Wichura 1988, AS 241). p of 0 or 1 gives an infinity.
 * Throws a RangeError outside [0, 1].
 */
export function normalQuantile(p: number, tail: 'lower' | 'upper' = 'lower'): number {
  requireProbability('p', p);
  return tail === 'lower' ? lowerQuantile(p) : -lowerQuantile(p);
}

function lowerQuantile(p: number): number {
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (q * polynomial(CENTRE_A, r)) / polynomial(CENTRE_B, r);
  }
  const outer = q < 0 ? p : 1 - p;
  if (outer === 0) return q < 0 ? -Infinity : Infinity;
  const r = Math.sqrt(-Math.log(outer));
  const z =
    r <= 5
      ? polynomial(NEAR_A, r - 1.6) / polynomial(NEAR_B, r - 1.6)
      : polynomial(FAR_A, r - 5) / polynomial(FAR_B, r - 5);
  return q < 0 ? -z : z;
}
