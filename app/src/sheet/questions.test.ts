import type { Problem } from '@fairbed/field';
import type { Mapping } from '@fairbed/files';
import { describe, expect, it } from 'vitest';
import {
  type Asking,
  firstAnswers,
  gradeClasses,
  healthyGrade,
  keptAnswers,
  withMapping,
} from './answers';
import { questionsOf } from './questions';

const mapping: Mapping = {
  version: 1,
  columns: [{ column: 'trt', role: 'treatment' }],
  wide: [{ measure: 'grade', columns: [{ column: 'w1' }, { column: 'w2' }] }],
};
const problem = (code: string, more: Partial<Problem> = {}): Problem => ({
  kind: 'question',
  code,
  what: `What of ${code}?`,
  do: 'Say so.',
  ...more,
});
const asking: Asking = {
  questions: [problem('grade-classes'), problem('grade-healthy')],
  treatments: ['Milk', 'Control'],
  gradesSeen: [1, 8],
};

describe('the questions of a sheet', () => {
  it('chooses nothing unasked: every question starts without an answer', () => {
    const { asked } = questionsOf(firstAnswers(mapping), { ...asking, figure: 'yield' });
    expect(asked.map(({ id }) => id)).toEqual(['grades', 'healthy', 'better', 'control']);
    expect(asked.every(({ answer }) => answer === undefined)).toBe(true);
  });

  it('offers only scales that hold every grade of the sheet', () => {
    const [grades] = questionsOf(firstAnswers(mapping), asking).asked;
    expect(grades.choices.map(({ label }) => label)).toEqual([
      '1 to 8',
      '0 to 9',
      '1 to 9',
      '0 to 10',
      '1 to 10',
    ]);
  });

  it('says which grade is healthy only when scale and end are both named', () => {
    const scaled = questionsOf(firstAnswers(mapping), asking).asked[0].withAnswer('1 9');
    expect(gradeClasses(scaled)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9]);
    expect(healthyGrade(scaled)).toBeUndefined();
    const both = questionsOf(scaled, asking).asked[1].withAnswer('lowest');
    expect(healthyGrade(both)).toBe(1);
    expect(healthyGrade({ ...both, healthy: 'highest' })).toBe(9);
  });

  it('keeps an answered question in its place and lets go of one that no longer stands', () => {
    const answered = questionsOf(firstAnswers(mapping), asking).asked[1].withAnswer('lowest');
    const { asked } = questionsOf(answered, { ...asking, questions: [] }, asking.questions);
    expect(asked.map(({ id, answer }) => [id, answer])).toEqual([
      ['healthy', 'lowest'],
      ['control', undefined],
    ]);
  });

  it('asks of a name spelt two ways which treatment it is', () => {
    const spelt = { ...problem('spelt-two-ways', { row: 7 }), written: 'Mlik' };
    const found = { ...asking, questions: [spelt] };
    const [question] = questionsOf(firstAnswers(mapping), found).asked;
    expect(question.choices.map(({ id }) => id)).toEqual(['Mlik', 'Milk', 'Control']);
    expect(question.withAnswer('Milk').spellings).toEqual([{ written: 'Mlik', means: 'Milk' }]);
  });

  it('takes the measure of a group of columns from the answer', () => {
    const open = { ...asking, questions: [problem('what-measure', { column: 'w1 to w2' })] };
    const [question] = questionsOf(firstAnswers(mapping), open).asked;
    const answered = question.withAnswer('severity');
    expect(answered.mapping.wide?.[0]?.measure).toBe('severity');
    expect(questionsOf(answered, open).asked[0]?.answer).toBe('severity');
  });

  it('can be told that there is no control', () => {
    const control = questionsOf(firstAnswers(mapping), asking).asked.at(-1)!;
    const none = control.withAnswer(control.choices.at(-1)!.id);
    expect(none.control).toBeNull();
    expect(questionsOf(none, asking).asked.at(-1)?.answer).toBe(control.choices.at(-1)?.id);
  });

  it('asks for the control anew when another column names the treatments', () => {
    const answers = { ...firstAnswers(mapping), control: 'Milk' };
    const other: Mapping = { ...mapping, columns: [{ column: 'spray', role: 'treatment' }] };
    expect(withMapping(answers, other).control).toBeUndefined();
    expect(withMapping(answers, { ...mapping, dateOrder: 'dmy' }).control).toBe('Milk');
  });

  it('leaves what it has no choices for to the columns', () => {
    const open = { ...asking, questions: [problem('which-plot')] };
    expect(questionsOf(firstAnswers(mapping), open).inColumns.map(({ code }) => code)).toEqual([
      'which-plot',
    ]);
  });
});

describe('answers kept on the device', () => {
  it('come back as they were, and nothing else does', () => {
    const answers = { ...firstAnswers(mapping), control: null };
    expect(keptAnswers(JSON.parse(JSON.stringify(answers)))).toEqual(answers);
    for (const other of [
      undefined,
      null,
      3,
      [],
      {},
      { mapping: {} },
      { ...answers, measured: 1 },
    ]) {
      expect(keptAnswers(other)).toBeUndefined();
    }
  });
});

describe('answers that are written in', () => {
  const open: Asking = { questions: [problem('date-year'), problem('first-day')], treatments: [] };
  const [year, firstDay] = questionsOf(firstAnswers(mapping), open).asked;

  it('are a year, which must be known, and a day, which need not', () => {
    expect(year).toMatchObject({ id: 'year', write: 'year', answer: undefined });
    expect(year).not.toHaveProperty('optional');
    expect(firstDay).toMatchObject({ id: 'firstDay', write: 'day', optional: true });
  });

  it('count only once they are whole', () => {
    for (const half of ['', '2', '202', '20266', 'then']) {
      expect(year.withAnswer(half).mapping).not.toHaveProperty('year');
    }
    expect(year.withAnswer('2026').mapping.year).toBe(2026);
    expect(firstDay.withAnswer('2026-02-30').mapping).not.toHaveProperty('firstDay');
    expect(firstDay.withAnswer('2026-05-04').mapping.firstDay).toBe('2026-05-04');
  });

  it('can be taken back', () => {
    const answered = year.withAnswer('2026');
    const [again] = questionsOf(answered, open).asked;
    expect(again.answer).toBe('2026');
    expect(again.withAnswer('202').mapping).toEqual(mapping);
  });
});
