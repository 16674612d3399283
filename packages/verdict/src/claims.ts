import type { Claim } from './evidence';
import type { ControlComparison, ExactResult } from './judgement';
import type { Analysed } from './outcome';

/**
 * The comparisons with the control that the verdict weighs, with the baseline adjusted for where
 * one was asked for: gains in the outcome's better direction, percent of the control's mean, and
 * the two p-values.
 */
export function claimsOf({ outcome, test }: Analysed, control: string): Claim[] {
  const adjusted = outcome.baselineAdjusted;
  const rows: readonly ControlComparison[] = (adjusted ?? outcome).versusControl ?? [];
  const means = adjusted?.treatments ?? outcome.treatments;
  const base = means.find(({ name }) => name === control)?.mean ?? null;
  const exact: ExactResult | undefined = test?.tested ? test.result : undefined;
  const sign = outcome.better === 'lower' ? -1 : 1;
  const share = (gain: number | null): number | null =>
    gain === null || base === null || base <= 0 ? null : (100 * gain) / base;
  return rows.flatMap(({ name, difference, low, high, p }) => {
    if (difference === null) return [];
    const [near, far] = sign < 0 ? [high, low] : [low, high];
    const turned = (value: number | null): number | null => (value === null ? null : sign * value);
    return [
      {
        name,
        gain: sign * difference,
        benefit: share(sign * difference),
        low: share(turned(near)),
        high: share(turned(far)),
        pModel: p,
        pExact: exact?.versusControl.find((row) => row.name === name)?.pStepDown ?? null,
      },
    ];
  });
}
