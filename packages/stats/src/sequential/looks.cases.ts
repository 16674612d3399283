// Small trials for the tests of this folder, and slow roads beside the fast ones.
import type { Random } from '../random';
import type { LookAtPlots } from './layout-looks';
import { alphaSpent, type Spending } from './spending';

export const late: Spending = { kind: 'obrien-fleming' };
export const early: Spending = { kind: 'pocock' };
export const even: Spending = { kind: 'power', exponent: 1 };

export const blocksOf = (k: number, b: number) => ({
  labels: Uint8Array.from({ length: k * b }, (_, i) => i % k),
  strata: Array.from({ length: b }, (_, s) => Array.from({ length: k }, (_, i) => s * k + i)),
});

/** Rounds that hang together: each plot walks on from where it was. `round` makes ties. */
export function rounds(
  random: Random,
  plots: number,
  looks: number,
  round = false,
): Float64Array[] {
  let y = new Float64Array(plots);
  return Array.from({ length: looks }, () => {
    y = y.map((v) => 0.8 * v + random.normal());
    return round ? y.map(Math.round) : y.slice();
  });
}

export const spentBy = (spending: Spending, looks: number, alpha: number): number[] =>
  Array.from({ length: looks }, (_, k) => alphaSpent(spending, (k + 1) / looks, alpha));

export const looksOf = (y: readonly Float64Array[], spent: readonly number[]): LookAtPlots[] =>
  y.map((values, k) => ({ y: values, spent: spent[k] }));

/** Every order of labels within strata, the slow way. */
export function everyLayout(
  labels: Uint8Array,
  strata: readonly (readonly number[])[],
): Uint8Array[] {
  const orders = (list: readonly number[]): number[][] =>
    list.length === 0
      ? [[]]
      : [...new Set(list)].flatMap((first) => {
          const rest = list.slice();
          rest.splice(rest.indexOf(first), 1);
          return orders(rest).map((order) => [first, ...order]);
        });
  return strata.reduce<Uint8Array[]>(
    (rows, positions) =>
      rows.flatMap((row) =>
        orders(positions.map((p) => labels[p])).map((order) => {
          const out = row.slice();
          positions.forEach((p, i) => (out[p] = order[i]));
          return out;
        }),
      ),
    [labels],
  );
}

/** Largest difference of plain means from treatment 0. */
export const plainStatistic = (y: Float64Array, labels: Uint8Array, k: number): number => {
  const sum = new Float64Array(k);
  const size = new Float64Array(k);
  labels.forEach((l, p) => {
    sum[l] += y[p];
    size[l]++;
  });
  return Math.max(...Array.from(sum, (s, l) => Math.abs(s / size[l] - sum[0] / size[0])));
};
