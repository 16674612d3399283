import { requirePositive } from './arguments';

const HALF_LOG_2PI = 0.918938533204672741780329736406;

// zeta(n) - 1 for n = 2, 3, ...: the Taylor coefficients of log-gamma at 2 (times n).
const ZETA_MINUS_1 = [
  0.64493406684822643647, 0.2020569031595942854, 0.082323233711138191516, 0.036927755143369926331,
  0.017343061984449139715, 0.0083492773819228268398, 0.0040773561979443393787,
  0.0020083928260822144179, 0.00099457512781808533715, 0.0004941886041194645587,
  0.00024608655330804829864, 0.00012271334757848914675, 0.000061248135058704829259,
  0.000030588236307020493552, 0.000015282259408651871733, 7.6371976378997622736e-6,
  3.8172932649998398565e-6, 1.9082127165539389257e-6, 9.5396203387279611315e-7,
  4.7693298678780646312e-7, 2.3845050272773299e-7, 1.1921992596531107307e-7,
  5.9608189051259479612e-8, 2.9803503514652280186e-8, 1.4901554828365041235e-8,
  7.450711789835429492e-9, 3.7253340247884570548e-9,
];
const ONE_MINUS_EULER = 0.4227843350984671393934879;

/** log Gamma(1 + z) for |z| <= 1/2 by its Taylor series, so that it stays exact near its zeros. */
function logGammaNearOne(z: number): number {
  let sum = 0;
  for (let n = ZETA_MINUS_1.length + 1; n >= 2; n--) {
    sum = (n % 2 === 0 ? 1 : -1) * (ZETA_MINUS_1[n - 2] / n) + z * sum;
  }
  return -Math.log1p(z) + z * (ONE_MINUS_EULER + z * sum);
}

/** Stirling's correction log Gamma(x + 1) - [(x + 1/2) log x - x + log(2 pi)/2] by its series, x >= 15. */
function stirlingSeries(x: number): number {
  const r = 1 / (x * x);
  const tail = 1 / 1260 - r * (1 / 1680 - r * (1 / 1188 - r * (691 / 360360 - r / 156)));
  return (1 / 12 - r * (1 / 360 - r * tail)) / x;
}

/**
 * The error of Stirling's formula, delta(x) = log Gamma(x + 1) - [(x + 1/2) log x - x + log(2 pi)/2],
 * for real x > 0. Keeping it apart is what lets densities of large counts keep all their digits
 * (Loader 2000, "Fast and accurate computation of binomial probabilities", section 4).
 */
export function stirlingError(x: number): number {
  if (x >= 15) return stirlingSeries(x);
  return logGamma(x + 1) - (x + 0.5) * Math.log(x) + x - HALF_LOG_2PI;
}

/**
 * Natural logarithm of the gamma function for x > 0.
 * Stirling's series (Abramowitz & Stegun 6.1.41) from 15 upwards; below, the Taylor series at 1 and 2
 * (6.1.33) after shifting the argument by the recurrence (6.1.15). Throws a RangeError for x <= 0.
 */
export function logGamma(x: number): number {
  requirePositive('x of log-gamma', x);
  if (x === Infinity) return Infinity;
  if (x >= 15) return (x - 0.5) * Math.log(x) - x + HALF_LOG_2PI + stirlingSeries(x);
  if (x < 0.5) return logGammaNearOne(x) - Math.log(x);
  let product = 1;
  let y = x;
  while (y > 2.5) {
    y -= 1;
    product *= y;
  }
  // y is now in [0.5, 2.5]: log Gamma(y) = log Gamma(1 + (y - 1)), one more step above 1.5.
  const near = y > 1.5 ? logGammaNearOne(y - 2) + Math.log1p(y - 2) : logGammaNearOne(y - 1);
  return product === 1 ? near : near + Math.log(product);
}

/**
 * Digamma, the derivative of log Gamma, for x > 0.
 * Asymptotic series (Abramowitz & Stegun 6.3.18) after shifting to x >= 12 (6.3.5).
 * Throws a RangeError for x <= 0.
 */
export function digamma(x: number): number {
  requirePositive('x of digamma', x);
  let shift = 0;
  let y = x;
  while (y < 12) {
    shift += 1 / y;
    y += 1;
  }
  const r = 1 / (y * y);
  const tail = 1 / 240 - r * (1 / 132 - r * (691 / 32760 - r / 12));
  const series = r * (1 / 12 - r * (1 / 120 - r * (1 / 252 - r * tail)));
  return Math.log(y) - 0.5 / y - series - shift;
}

/**
 * Deviance part x log(x / m) + m - x for x >= 0, m > 0, without cancellation when x is near m
 * (Loader 2000, section 5: bd0).
 */
export function deviancePart(x: number, m: number): number {
  if (x === 0) return m;
  if (Math.abs(x - m) >= 0.1 * (x + m)) return x * Math.log(x / m) + m - x;
  const v = (x - m) / (x + m);
  let sum = (x - m) * v;
  let term = 2 * x * v;
  for (let j = 1; j < 1000; j++) {
    term *= v * v;
    const next = sum + term / (2 * j + 1);
    if (next === sum) break;
    sum = next;
  }
  return sum;
}
