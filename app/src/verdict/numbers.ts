import { fixedNumber, type NumberFormat } from '@fairbed/report';

/** What stands where a value can't be computed; its reason is among the cautions. */
export const noValue = '–';

/** A probability: three decimals, four below 0.001, `< 0.0001` below that; null as a dash. */
export function pText(p: number | null | undefined): string {
  if (p === null || p === undefined) return noValue;
  if (p < 0.0001) return '< 0.0001';
  return p < 0.001 ? p.toFixed(4) : p.toFixed(3);
}

/** The same in a sentence: `p = 0.012`, `p < 0.0001`. */
export const pSaid = (p: number): string => (p < 0.0001 ? 'p < 0.0001' : `p = ${pText(p)}`);

/** Large counts given as decimal text, set apart by thousands with a narrow space. */
export const groupedText = (digits: string): string =>
  digits.replace(/\B(?=(\d{3})+(?!\d))/g, '\u202f');

/** `1 row`, `12 rows`. */
export const counted = (n: number, one: string, many = `${one}s`): string =>
  `${groupedText(String(n))} ${n === 1 ? one : many}`;

/** A ratio: two significant digits at least, two decimals from 0.1 to 10. */
export const ratioText = (value: number): string =>
  fixedNumber(value, value >= 10 ? 1 : value >= 0.1 || value === 0 ? 2 : 1 - magnitude(value));

const magnitude = (value: number): number =>
  value === 0 ? 0 : Math.floor(Math.log10(Math.abs(value)));

/**
 * One way of writing the figures of a table: the largest gets four significant digits, but no more
 * than two decimals where it is one or more.
 */
export function tableFormat(values: readonly number[]): NumberFormat {
  const largest = Math.max(0, ...values.filter(Number.isFinite).map(Math.abs));
  const most = largest >= 1 || largest === 0 ? 2 : 6;
  const decimals = Math.min(most, Math.max(0, 3 - magnitude(largest)));
  return (value) => fixedNumber(value, decimals);
}

/** Sums of squares and the like, each by itself: four significant digits and two decimals at least. */
export const squares = (value: number): string =>
  fixedNumber(value, Math.min(8, Math.max(2, 3 - magnitude(value))));

/** A percentage being typed; undefined while it is no number from 0 to 100. */
export function percentTyped(text: string): number | undefined {
  const value = Number(text);
  return text.trim() !== '' && value >= 0 && value <= 100 ? value : undefined;
}
