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
