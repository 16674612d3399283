import type { Problem } from '@fairbed/field';
import { csvText } from '@fairbed/files';

const headings = ['kind', 'file', 'row', 'column', 'what', 'do'];

/** Every problem as a CSV file (RFC 4180), to work through beside the sheet. */
export const problemsCsv = (problems: readonly Problem[]): string =>
  csvText(
    headings,
    problems.map(({ kind, file, row, column, what, do: remedy }) => [
      kind,
      file,
      row,
      column,
      what,
      remedy,
    ]),
  );

export type Sorted = {
  readonly faults: readonly Problem[];
  readonly questions: readonly Problem[];
  readonly notes: readonly Problem[];
};

/** Problems by what they ask of the grower: rows set aside, questions to answer, things to look at. */
export const sorted = (problems: readonly Problem[]): Sorted => ({
  faults: problems.filter(({ kind }) => kind === 'fault'),
  questions: problems.filter(({ kind }) => kind === 'question'),
  notes: problems.filter(({ kind }) => kind === 'note'),
});
