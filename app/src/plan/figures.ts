import { groupedText } from '../verdict/numbers';

const longest = 12;

/** A count of any size: in full up to twelve digits, above that as `about 6.2 × 10^23`. */
export function countText(count: bigint, isExact = true): string {
  const digits = count.toString();
  const shown =
    digits.length <= longest
      ? groupedText(digits)
      : `about ${digits.slice(0, 1)}.${digits.slice(1, 2)} × 10^${digits.length - 1}`;
  return isExact ? shown : `at most ${shown}`;
}

const smallestShown = 1e-9;

/** A smallest p-value in plain decimals with two or three digits that count: `0.125`, `0.00007`. */
export function leastText(p: number): string {
  if (p < smallestShown) return 'below 0.000000001';
  if (p >= 0.001) return `${Number(p.toPrecision(3))}`;
  return p.toFixed(Math.ceil(-Math.log10(p)) + 1).replace(/0+$/, '');
}

/** Metres without needless noughts. */
export const metres = (length: number): string => `${Math.round(length * 100) / 100} m`;

export type ReadNumber =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly what: string };

export type NumberLimits = {
  /** What the number is, as the sentence names it: `The width`. */
  readonly name: string;
  readonly least: number;
  readonly most: number;
  readonly whole?: boolean;
  readonly unit?: string;
};

/** Reads a number as it is written by hand, with a point or a comma. */
export function readNumber(text: string, limits: NumberLimits): ReadNumber {
  const { name, least, most, whole = false, unit = '' } = limits;
  const tail = unit === '' ? '' : ` ${unit}`;
  const range = `${whole ? 'a whole number' : 'a number'} from ${least} to ${most}${tail}`;
  if (text.trim() === '') return { ok: false, what: `${name} is missing. Write ${range}.` };
  const value = Number(text.trim().replace(',', '.'));
  const isGood =
    Number.isFinite(value) &&
    value >= least &&
    value <= most &&
    (!whole || Number.isInteger(value));
  return isGood
    ? { ok: true, value }
    : { ok: false, what: `${name} must be ${range}; got “${text.trim().slice(0, 40)}”.` };
}
