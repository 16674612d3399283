import type { Problem } from '@fairbed/field';

/** A problem without its code and place. */
export type Said = Pick<Problem, 'kind' | 'what' | 'do'>;

export const fault = (what: string, todo: string): Said => ({ kind: 'fault', what, do: todo });
export const question = (what: string, todo: string): Said => ({
  kind: 'question',
  what,
  do: todo,
});
export const note = (what: string, todo: string): Said => ({ kind: 'note', what, do: todo });

/** A cell's text in a sentence: quoted, one line, short. */
export const q = (text: string): string => {
  const line = text.replace(/[\p{Cc}\p{Cf}\s]+/gu, ' ').trim();
  return `"${line.length > 60 ? `${line.slice(0, 57)}...` : line}"`;
};
export const n = (count: number, one: string, many = `${one}s`): string =>
  `${count.toLocaleString('en-GB')} ${count === 1 ? one : many}`;
export const list = (names: readonly string[]): string =>
  names.length > 12
    ? `${names.slice(0, 12).map(q).join(', ')} and ${names.length - 12} more`
    : names.map(q).join(', ');
export const correct = 'Correct the cell and read the file again.';
export const saveAgain = 'Save it again as CSV or XLSX from your spreadsheet.';
export const packAgain = 'Save it again where it was made and use the new file.';
export const getAgain =
  'Nothing was taken in. Save or send the package once more and use the new one.';
