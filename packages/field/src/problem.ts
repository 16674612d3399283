/**
 * Something wrong, or in doubt, in what a grower gave us. `what` says what is wrong and `do` what
 * to do about it, each a whole sentence a neighbour would understand.
 *
 * - `fault`: the row (or the file) is set aside.
 * - `question`: it can be read in more than one way; an answer is needed (a mapping choice).
 * - `note`: it was used; worth a look.
 *
 * Rows are counted as a spreadsheet shows them (the first line of the file is row 1); `column` is
 * the heading as written, or the letter of the column where it has none.
 */
export type Problem = {
  readonly kind: 'fault' | 'question' | 'note';
  readonly code: string;
  readonly file?: string;
  readonly row?: number;
  readonly column?: string;
  readonly what: string;
  readonly do: string;
};

/** One line for a person: `scores.csv, row 14, column diseased: ... Do: ...` */
export function problemLine(problem: Problem): string {
  const where = [
    problem.file,
    problem.row === undefined ? undefined : `row ${problem.row}`,
    problem.column === undefined ? undefined : `column ${problem.column}`,
  ].filter((part) => part !== undefined);
  return `${where.length > 0 ? `${where.join(', ')}: ` : ''}${problem.what} ${problem.do}`.trim();
}
