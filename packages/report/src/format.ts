import { tickStep } from './d3';

const minus = '\u2212';
const space = '\u00a0';
const thinSpace = '\u202f';
const superscripts = '⁰¹²³⁴⁵⁶⁷⁸⁹';

const superscript = (exponent: number): string =>
  (exponent < 0 ? '⁻' : '') +
  Array.from(String(Math.abs(exponent)), (digit) => superscripts[Number(digit)] ?? '').join('');

/** Thousands apart by a thin space from 10 000 on, as the trade's tables have it. */
function grouped(fixed: string): string {
  const [whole = '', part] = fixed.split('.');
  const apart = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, thinSpace) : whole;
  return part === undefined ? apart : `${apart}.${part}`;
}

/** A number with so many decimals: true minus sign, no negative zero. */
export function fixedNumber(value: number, decimals: number): string {
  const fixed = Math.abs(value).toFixed(Math.min(Math.max(decimals, 0), 20));
  const isZero = Number(fixed) === 0;
  return (value < 0 && !isZero ? minus : '') + grouped(fixed);
}

const scientific = (value: number, exponent: number): string =>
  value === 0
    ? '0'
    : `${fixedNumber(value / 10 ** exponent, 1)}${space}×${space}10${superscript(exponent)}`;

/** Largest power of ten in the largest of the values; undefined where all are zero. */
function magnitude(values: readonly number[]): number | undefined {
  const largest = Math.max(0, ...values.filter(Number.isFinite).map(Math.abs));
  return largest > 0 ? Math.floor(Math.log10(largest)) : undefined;
}

export type NumberFormat = (value: number) => string;

/**
 * One way of writing all the numbers of a chart: the largest gets three significant digits, the
 * others as many decimals. Very small and very large ones share one power of ten.
 */
export function numberFormat(values: readonly number[]): NumberFormat {
  const size = magnitude(values);
  if (size === undefined) return (value) => fixedNumber(value, 0);
  if (size < -4 || size > 8) return (value) => scientific(value, size);
  const whole = values.every((value) => Number.isInteger(value)) && size >= 1;
  const decimals = whole ? 0 : Math.max(0, 2 - Math.max(size, -4));
  return (value) => fixedNumber(value, Math.min(decimals, size >= 0 ? 2 : decimals));
}

/** Numbers of an axis: just the decimals that its steps need. */
export function tickFormat(low: number, high: number, count: number): NumberFormat {
  const step = tickStep(low, high, count);
  const size = magnitude([low, high]) ?? 0;
  if (size < -4 || size > 8) return (value) => scientific(value, size);
  const decimals = Math.max(0, -Math.floor(Math.log10(Math.abs(step)) + 1e-9));
  return (value) => fixedNumber(value, decimals);
}

/** A chance as a number: three decimals, four below 0.001; a very small one by its power of ten. */
export function chanceFigure(chance: number): string {
  if (chance === 0) return '0';
  if (chance >= 0.001) return fixedNumber(chance, 3);
  if (chance >= 0.0001) return fixedNumber(chance, 4);
  return scientific(chance, Math.floor(Math.log10(chance)));
}

/** A difference: always with its sign. */
export function signed(value: number, format: NumberFormat): string {
  const text = format(value);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

/** An interval in words: `2.1 to 8.4`; undefined where an end is missing. */
export function intervalText(
  low: number | null,
  high: number | null,
  format: NumberFormat,
): string | undefined {
  if (low === null || high === null) return undefined;
  return `${format(low)} to${space}${format(high)}`;
}

const words: Readonly<Record<string, string>> = {
  '%': 'percent',
  '%-days': 'percent-days',
  '1': '',
  g: 'grams',
  'leaves/plant': 'leaves per plant',
};

/** A unit as a word; a unit that is a word already stays. */
export const unitWords = (unit: string): string => words[unit] ?? unit;

/** The unit of a difference: percent less percent is percentage points. */
export const differenceUnit = (unit: string): string =>
  unit === '%' || unit === 'percent' ? 'percentage points' : unitWords(unit);

/** `disease, percent`: a measure with its unit, or alone where it has none. */
export const withUnit = (measure: string, unit: string): string =>
  unit === '' || measure.endsWith(unit) ? measure : `${measure}, ${unit}`;

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** `2026-05-04` as `4 May`; text that is no such date stays as it is. */
export function shortDate(date: string): string {
  const [, month, day] = date.split('-').map(Number);
  const name = month === undefined ? undefined : months[month - 1];
  return name === undefined || day === undefined ? date : `${day}${space}${name}`;
}
