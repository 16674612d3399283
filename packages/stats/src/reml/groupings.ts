import type { Serial } from './serial';

/** Rows of one level share a random effect; `codes` are any whole numbers. */
export type RandomTerm = { readonly name: string; readonly codes: ArrayLike<number> };

/**
 * Why a random term has no variance of its own here: each row a level of its own, the same levels
 * as an earlier term, or all that it could explain is in the fixed effects already.
 */
export type LeftOut = {
  readonly name: string;
  readonly why: 'residual' | 'same-as-another' | 'within-fixed';
};

type Ground = {
  readonly n: number;
  readonly p: number;
  readonly basis: Float64Array;
  readonly serial: Serial | undefined;
};

/** The level of each row, numbered by first appearance, so that equal partitions look alike. */
function partition(codes: ArrayLike<number>, n: number): Int32Array {
  const numbers = new Map<number, number>();
  const out = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    const number = numbers.get(codes[i]) ?? numbers.size;
    numbers.set(codes[i], number);
    out[i] = number;
  }
  return out;
}

/** Share of the levels' indicators that the fixed effects leave over, per row. */
function leftOver(codes: Int32Array, levels: number, { n, p, basis }: Ground): number {
  const sums = new Float64Array(levels * p);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < p; j++) sums[codes[i] * p + j] += basis[i * p + j];
  }
  let explained = 0;
  for (const sum of sums) explained += sum * sum;
  return (n - explained) / n;
}

/** Below it a leftover is rounding of the basis. */
const ROUNDING = 1e-9;

/** Sets aside random terms whose variance this layout can't tell from another's. */
export function mergedGroupings(
  random: readonly RandomTerm[],
  ground: Ground,
): { kept: RandomTerm[]; leftOut: LeftOut[] } {
  const { n, serial } = ground;
  const kept: { name: string; codes: Int32Array }[] = [];
  const leftOut: LeftOut[] = [];
  for (const { name, codes } of random) {
    if (codes.length !== n) {
      throw new RangeError(`${name} must have ${n} codes; got ${codes.length}`);
    }
    const mine = partition(codes, n);
    const levels = n === 0 ? 0 : Math.max(...mine) + 1;
    const same = kept.some((other) => other.codes.every((code, i) => code === mine[i]));
    if (levels === n && serial === undefined) leftOut.push({ name, why: 'residual' });
    else if (same) leftOut.push({ name, why: 'same-as-another' });
    else if (leftOver(mine, levels, ground) < ROUNDING) leftOut.push({ name, why: 'within-fixed' });
    else kept.push({ name, codes: mine });
  }
  return { kept, leftOut };
}
