import type { Problem } from '@fairbed/field';
import { describe, expect, it } from 'vitest';
import { problemsCsv, sorted } from './problemList';

const fault: Problem = {
  kind: 'fault',
  code: 'x',
  file: 'a.csv',
  row: 3,
  column: '=cmd()',
  what: 'More diseased than standing, "7" of 5.',
  do: 'Correct it.',
};
const note: Problem = { kind: 'note', code: 'y', what: 'Two\nlines', do: '-' };

describe('the list of faults as a file', () => {
  it('is a CSV that no spreadsheet takes for formulas', () => {
    expect(problemsCsv([fault, note])).toBe(
      'kind,file,row,column,what,do\r\n' +
        'fault,a.csv,3,\'=cmd(),"More diseased than standing, ""7"" of 5.",Correct it.\r\n' +
        'note,,,,"Two\nlines",\'-\r\n',
    );
  });

  it('sets faults, questions and notes apart', () => {
    const question: Problem = { ...note, kind: 'question' };
    const all = sorted([note, fault, question]);
    expect(all).toEqual({ faults: [fault], questions: [question], notes: [note] });
  });
});
