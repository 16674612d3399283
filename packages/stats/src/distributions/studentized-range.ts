import {
  requireCount,
  requireNumber,
  requirePositive,
  requireProbability,
  type Tail,
} from './arguments';
import { normalCdf, normalDensity, upperTail } from './normal';
import { monotoneRoot } from './root';
import { overScale } from './scale-mixture';

/** The whole-line rule for the smallest of k normals: nodes, weights and the normal integral there. */
type RangeNodes = {
  readonly step: number;
  readonly z: Float64Array;
  readonly cdf: Float64Array;
  /** k * step * density(z) */
  readonly weight: Float64Array;
};

const FIRST_NODE = -9;
/** A range of 2 x 38 standard deviations has underflowed: nodes beyond its middle plus 9 are not needed. */
const LAST_NODE = 47;
const NEGLIGIBLE = 1e-17;

const nodesByCount = new Map<number, RangeNodes>();

// The tables depend on k alone and are the dearest part of a first call, so they are kept.
function nodesFor(k: number): RangeNodes {
  const known = nodesByCount.get(k);
  if (known) return known;
  // The density of an extreme of k normals narrows slowly with k, and the rule with it.
  const step = 1 / (1.4 + 0.8 * Math.log(k));
  const count = Math.ceil((LAST_NODE - FIRST_NODE) / step);
  const z = Float64Array.from({ length: count }, (_, i) => FIRST_NODE + i * step);
  const cdf = z.map((x) => normalCdf(x));
  const weight = z.map((x) => k * step * normalDensity(x));
  const made = { step, z, cdf, weight };
  nodesByCount.set(k, made);
  return made;
}

/**
 * P(range of k standard normals > w). With A = Phi(z), C = Phi(z) - Phi(z - w) and the maximum at z,
 * the tail is k int phi(z) (A^(k-1) - C^(k-1)) dz (Hartley 1942, Biometrika 32:334-348, turned to the
 * upper tail). The difference of powers is (A - C) (A^(k-2) + A^(k-3) C + ...): all terms positive,
 * so small tails keep their digits.
 */
function rangeUpper(w: number, k: number, nodes: RangeNodes): number {
  const { step, z, cdf, weight } = nodes;
  const termAt = (i: number): number => {
    const a = cdf[i];
    const b = upperTail(w - z[i]);
    const c = a - b;
    let powers = 1;
    let power = 1;
    for (let j = 2; j < k; j++) {
      power *= c;
      powers = powers * a + power;
    }
    return weight[i] * b * powers;
  };
  const middle = Math.min(z.length - 1, Math.round((w / 2 - FIRST_NODE) / step));
  const first = termAt(middle);
  let sum = first;
  let before = first;
  for (let i = middle + 1; i < z.length; i++) {
    const term = termAt(i);
    sum += term;
    if (term <= before && term <= NEGLIGIBLE * sum) break;
    before = term;
  }
  before = first;
  for (let i = middle - 1; i >= 0; i--) {
    const term = termAt(i);
    sum += term;
    if (term <= before && term <= NEGLIGIBLE * sum) break;
    before = term;
  }
  return sum;
}

function upper(q: number, k: number, df: number): number {
  if (q <= 0) return 1;
  if (q === Infinity) return 0;
  const nodes = nodesFor(k);
  const logCount = Math.log(k);
  const hints = {
    peak: -0.5 * Math.log1p((q * q) / (2 * df)),
    sharpness: 1 + 1.6 * logCount * logCount,
  };
  return Math.min(
    1,
    overScale(df, hints, (s) => rangeUpper(q * s, k, nodes)),
  );
}

function checkShape(k: number, df: number): void {
  requireCount('number of means', k, 2);
  requirePositive('degrees of freedom', df);
}

/**
 * P(Q > q) for the studentised range of k means on df degrees of freedom (df may be Infinity): the
 * p-value of Tukey's all-pairs comparison with q = sqrt(2) |t|. By numerical integration over the
 * estimated standard deviation and the largest of the k normals, upper tail directly: about 1e-11
 * relative, in the far tail too. Throws a RangeError for k below 2 or df not above 0.
 */
export function studentizedRangeUpper(q: number, k: number, df: number): number {
  requireNumber('q', q);
  checkShape(k, df);
  return upper(q, k, df);
}

/**
 * The q with P(Q <= q) = p (or P(Q > q) = p), k means, df degrees of freedom. For the usual critical
 * value at 5 % pass 0.95, or 0.05 with 'upper'. About 1e-10 relative for upper p below 0.9; nearer to
 * q = 0 the lower tail is 1 minus the upper one and carries 1e-11 absolute.
 */
export function studentizedRangeQuantile(
  p: number,
  k: number,
  df: number,
  tail: Tail = 'lower',
): number {
  requireProbability('p', p);
  checkShape(k, df);
  const above = tail === 'upper' ? p : 1 - p;
  if (above === 0) return Infinity;
  if (above === 1) return 0;
  // log p against log q is smooth from the body out, where both are near straight lines.
  const f = (u: number): number => Math.log(upper(Math.exp(u), k, df) / above);
  return Math.exp(monotoneRoot(f, Math.log(2.5 + 0.5 * Math.log(k)), false, 1e-11));
}
