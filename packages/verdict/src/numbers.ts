/** A percentage for a sentence: whole from 10 up, one decimal below, a true minus, no line break. */
export function percent(value: number): string {
  const size = Math.abs(value);
  const digits = size >= 9.95 ? 0 : 1;
  const text = `${Number(size.toFixed(digits))}\u00a0%`;
  return value < 0 && Number(size.toFixed(digits)) !== 0 ? `−${text}` : text;
}

/** A number for a sentence, to three significant digits, no exponent in the ordinary range. */
export function figure(value: number): string {
  if (value === 0) return '0';
  const size = Math.abs(value);
  const text =
    size >= 1e7 || size < 1e-4 ? size.toExponential(2) : String(Number(size.toPrecision(3)));
  return value < 0 ? `−${text}` : text;
}

/** Digits of a whole number in threes, set apart by a narrow space that does not break. */
export const groupedText = (digits: string): string =>
  digits.replace(/\B(?=(\d{3})+(?!\d))/g, '\u202f');

/** A probability for a sentence: `0.031`, `under 0.0001`. */
export const chance = (p: number): string =>
  p < 0.0001 ? 'under 0.0001' : String(Number(p.toPrecision(2)));

/** A chance in percent for a sentence, no nearer than it is known: `64 %`, `over 99 %`. */
export function likely(share: number): string {
  if (share > 0.99) return 'over 99\u00a0%';
  if (share < 0.01) return 'under 1\u00a0%';
  return `${Math.round(100 * share)}\u00a0%`;
}

/** Names joined as in speech: `A`, `A and B`, `A, B and C`. */
export function listed(names: readonly string[]): string {
  if (names.length < 2) return names.join('');
  return `${names.slice(0, -1).join(', ')} and ${names.at(-1) ?? ''}`;
}
