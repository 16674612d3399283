import type { ControlComparison, Outcome } from '@fairbed/verdict';
import { differenceUnit, intervalText, type NumberFormat, numberFormat, signed } from './format';

/** Heading of the effects chart: what is drawn, against what, in which unit. */
export function effectsTitle(outcome: Outcome, control: string | null): string {
  const unit = differenceUnit(outcome.unit);
  const against = control === null ? 'the control' : control;
  return `${outcome.title}: difference from ${against}${unit === '' ? '' : `, ${unit}`}`;
}

/**
 * The smallest difference worth having, in the outcome's own unit and with its sign: so many
 * percent of the control's mean, downwards where lower is better. Undefined without a control,
 * where its mean is not known or not above zero, and where no percentage was set.
 */
export function worthOf(
  outcome: Outcome,
  control: string | null,
  worthHavingPercent: number | undefined,
): number | undefined {
  const mean = outcome.treatments.find((t) => t.name === control)?.mean;
  if (mean === undefined || mean === null || !(mean > 0)) return undefined;
  if (worthHavingPercent === undefined || worthHavingPercent <= 0) return undefined;
  return ((outcome.better === 'lower' ? -1 : 1) * mean * worthHavingPercent) / 100;
}

/** One way of writing all differences of an outcome and their intervals. */
export const effectFormat = (outcome: Outcome): NumberFormat =>
  numberFormat(
    (outcome.versusControl ?? [])
      .flatMap((c) => [c.difference, c.low, c.high])
      .filter((v) => v !== null),
  );

/** `−12.3 (−18.1 to −6.5)`, or why there is none. */
export function effectFigure(comparison: ControlComparison, format: NumberFormat): string {
  if (comparison.difference === null) return 'could not be computed';
  const interval = intervalText(comparison.low, comparison.high, (v) => signed(v, format));
  const difference = signed(comparison.difference, format);
  return interval === undefined ? `${difference} (no interval)` : `${difference} (${interval})`;
}

/** Text alternative of the effects chart: every figure that is drawn, in the same order. */
export function describeEffects(
  outcome: Outcome,
  control: string | null,
  worthHavingPercent?: number,
): string {
  const compared = outcome.versusControl ?? [];
  if (compared.length === 0) return `${outcome.title}: nothing was compared with a control.`;
  const format = effectFormat(outcome);
  const unit = differenceUnit(outcome.unit);
  const worth = worthOf(outcome, control, worthHavingPercent);
  const rows = compared.map((c) => `${c.name}: ${effectFigure(c, format)}.`);
  const better = outcome.better === 'lower' ? 'Below zero is better.' : 'Above zero is better.';
  const worthText =
    worth === undefined
      ? ''
      : ` A difference worth having is ${signed(worth, numberFormat([worth]))} or beyond.`;
  return (
    `Differences from ${control ?? 'the control'}${unit === '' ? '' : ` in ${unit}`} ` +
    `with 95\u00a0% intervals. ${better}${worthText} ${rows.join(' ')}`
  );
}
