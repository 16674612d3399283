import type { Judgement } from '@fairbed/verdict';
import { fixedNumber, type NumberFormat, numberFormat } from './format';

type Balance = NonNullable<Judgement['balanceOverTime']>;
type BalancePoint = Balance[number]['points'][number];

export type LeafFate = {
  readonly key: 'healthy' | 'diseased' | 'stripped' | 'lost';
  readonly short: string;
  readonly of: (point: BalancePoint) => number;
  readonly pattern: boolean;
};

/** What can become of a leaf, from the ground of the chart upwards. */
export const leafFates: readonly LeafFate[] = [
  { key: 'healthy', short: 'healthy', of: (p) => p.healthy, pattern: false },
  { key: 'diseased', short: 'diseased', of: (p) => p.diseased, pattern: false },
  { key: 'stripped', short: 'stripped', of: (p) => p.strippedSoFar, pattern: true },
  { key: 'lost', short: 'lost', of: (p) => p.lostSoFar, pattern: true },
];

/** Leaves per plant: to a tenth of a leaf, finer only where all are below one. */
export function leafFormat(balance: Balance): NumberFormat {
  const values = balance.flatMap(({ points }) =>
    points.flatMap((point) => leafFates.map((fate) => fate.of(point))),
  );
  const largest = Math.max(0, ...values.map(Math.abs));
  if (largest === 0 || largest < 1) return numberFormat(values);
  return (value) => fixedNumber(value, largest < 1000 ? 1 : 0);
}

/** Text alternative of the leaf balance: what each treatment's leaves had come to at the end. */
export function describeBalance(balance: Balance): string {
  const format = leafFormat(balance);
  const rows = balance.flatMap(({ treatment, points }) => {
    const last = points.at(-1);
    if (!last) return [];
    const values = leafFates.map((fate) => fate.of(last));
    const parts = leafFates.map((fate, i) => `${format(values[i] ?? 0)} ${fate.short}`);
    return [`${treatment}: ${parts.join(', ')}.`];
  });
  return `Leaves per plant at the last round. ${rows.join(' ')}`;
}
