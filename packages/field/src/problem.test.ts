import { expect, it } from 'vitest';
import { type Problem, problemLine } from './problem';

const problem: Problem = {
  kind: 'fault',
  code: 'diseased-over-leaves',
  what: '9 diseased leaves of 7.',
  do: 'Count again or correct one of the two.',
};

it('says file, row and column first, in that order', () => {
  expect(problemLine({ ...problem, file: 'scores.csv', row: 14, column: 'diseased' })).toBe(
    'scores.csv, row 14, column diseased: 9 diseased leaves of 7. Count again or correct one of the two.',
  );
});

it('leaves out what it does not know', () => {
  expect(problemLine({ ...problem, row: 14 })).toBe(
    'row 14: 9 diseased leaves of 7. Count again or correct one of the two.',
  );
  expect(problemLine(problem)).toBe(
    '9 diseased leaves of 7. Count again or correct one of the two.',
  );
});

it('ends without a blank where there is nothing to do', () => {
  expect(problemLine({ ...problem, do: '' })).toBe('9 diseased leaves of 7.');
});
