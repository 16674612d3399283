import { requireProbability, type Tail, type Tails } from './arguments';
import { monotoneRoot } from './root';

/** Digits of a quantile: the tolerance on log x (or logit x), so a relative tolerance on x. */
const QUANTILE_TOLERANCE = 1e-15;

/**
 * The u with tails(u) equal to p, for tails that rise (lower) and fall (upper) with u.
 * Works on the logarithm of the smaller tail, so that quantiles keep their digits far out.
 */
function solveTail(tails: (u: number) => Tails, p: number, tail: Tail, start: number): number {
  // Below one half p itself is the small tail; above, the other one is, and 1 - p is exact enough.
  const useLower = (tail === 'lower') === p <= 0.5;
  const target = Math.log(p <= 0.5 ? p : 1 - p);
  const f = (u: number): number => {
    const both = tails(u);
    return Math.log(useLower ? both.lower : both.upper) - target;
  };
  return monotoneRoot(f, start, useLower, QUANTILE_TOLERANCE);
}

/** Quantile of a distribution on (0, infinity): p of 0 and 1 give the ends. `scale` is a typical x. */
export function positiveQuantile(
  tails: (x: number) => Tails,
  p: number,
  tail: Tail,
  scale: number,
): number {
  requireProbability('p', p);
  const lower = tail === 'lower';
  if (p === 0) return lower ? 0 : Infinity;
  if (p === 1) return lower ? Infinity : 0;
  return Math.exp(solveTail((u) => tails(Math.exp(u)), p, tail, Math.log(scale)));
}

/** Quantile of a distribution on (0, 1); `tails` takes x and 1 - x. `mean` is a typical x. */
export function unitQuantile(
  tails: (x: number, y: number) => Tails,
  p: number,
  tail: Tail,
  mean: number,
): number {
  requireProbability('p', p);
  const lower = tail === 'lower';
  if (p === 0) return lower ? 0 : 1;
  if (p === 1) return lower ? 1 : 0;
  const share = (u: number): number => 1 / (1 + Math.exp(-u));
  const u = solveTail((v) => tails(share(v), share(-v)), p, tail, Math.log(mean / (1 - mean)));
  return share(u);
}
