import type { Problem } from '@fairbed/field';
import {
  guessMapping,
  type Mapping,
  mappingKey,
  readTable,
  type Table,
  tableToTrial,
  type TrialOptions,
  type TrialResult,
} from '@fairbed/files';
import { leafBalance } from '@fairbed/trial';
import { type Answers, gradeClasses, healthyGrade, type OpenProblem } from '../sheet/answers';
import { without } from '../writable';
import { firstRowsOf, type Opened, type SheetView, type Tried } from './sheetView';

export type OpenTable = { readonly opened: Opened; readonly table: Table | undefined };

/** Reads the table of a file and guesses what its columns hold. */
export function openTable(bytes: Uint8Array, file: string, sheet?: string): OpenTable {
  const { table, problems } = readTable(bytes, file, sheet);
  if (!table) return { opened: { kind: 'refused', problems }, table: undefined };
  const { mapping, questions } = guessMapping(table);
  const view: SheetView = {
    file,
    ...(table.sheet === undefined ? {} : { sheet: table.sheet }),
    ...(table.sheets === undefined ? {} : { sheets: table.sheets }),
    rows: table.rows,
    columns: table.columns.map(({ name }) => name),
    firstRows: firstRowsOf(table),
    key: mappingKey(table),
    guess: mapping,
    questions,
    problems,
  };
  return { opened: { kind: 'sheet', view }, table };
}

function optionsOf(answers: Answers): TrialOptions {
  const classes = gradeClasses(answers);
  const healthy = healthyGrade(answers);
  return {
    ...(typeof answers.control === 'string' ? { control: answers.control } : {}),
    ...(classes === undefined ? {} : { gradeClasses: classes }),
    ...(healthy === undefined ? {} : { healthyGrade: healthy }),
    ...(answers.better === undefined ? {} : { better: answers.better }),
    treatmentNames: answers.spellings,
  };
}

/** A sheet as a trial, read with the grower's answers. "There is no control" is one of them. */
export function trialFrom(table: Table, answers: Answers): TrialResult {
  const result = tableToTrial(table, answers.mapping, optionsOf(answers));
  // Until it is answered no treatment is the control: the reader's guess is only a guess.
  return typeof answers.control === 'string'
    ? result
    : { ...result, trial: without(result.trial, 'control') };
}

/** Least and most of the grades in the sheet, whether or not their rows can be used yet. */
function gradesIn(table: Table, { columns, wide }: Mapping): readonly [number, number] | undefined {
  const names = new Set([
    ...columns.flatMap(({ column, role }) => (role === 'grade' ? [column] : [])),
    ...(wide ?? []).flatMap((group) =>
      group.measure === 'grade' ? group.columns.map(({ column }) => column) : [],
    ),
  ]);
  const grades = table.columns
    .filter(({ name }) => names.has(name))
    .flatMap(({ values, counts }) => values.filter((text, i) => text !== '' && counts[i] !== 0))
    .map((text) => Number(text.replace(',', '.')))
    .filter(Number.isFinite);
  return grades.length > 0 ? [Math.min(...grades), Math.max(...grades)] : undefined;
}

/** Questions on spelling with the name that stands in their row, as the sheet's reader calls it. */
function withWritten(
  table: Table,
  answers: Answers,
  questions: readonly Problem[],
): readonly OpenProblem[] {
  const name = answers.mapping.columns.find(({ role }) => role === 'treatment')?.column;
  const column = table.columns.find((entry) => entry.name === name);
  return questions.map((problem) => {
    if (problem.code !== 'spelt-two-ways' || problem.row === undefined || !column) return problem;
    const code = column.codes[table.rowNumbers.indexOf(problem.row)] ?? 0;
    return { ...problem, written: (column.values[code] ?? '').replace(/\s+/g, ' ') };
  });
}

/** Questions of the guess that the reader of the rows does not ask again. */
const guessOnly = ['what-measure', 'two-for-role', 'which-leaves'];

const saidByTheApp = ['control-guessed', 'value-better', 'first-day'];

/** Reads the whole sheet with these answers and says what came of every row. */
export function tryAnswers(table: Table, view: SheetView, answers: Answers): Tried {
  const { trial, faults, rows } = trialFrom(table, answers);
  const leaves = answers.mapping.columns.some(({ role }) => role === 'leaves');
  const open = view.questions.filter(
    ({ code }) => guessOnly.includes(code) && !(code === 'which-leaves' && leaves),
  );
  const asks = ({ kind, code }: Problem): boolean => kind === 'question' || code === 'first-day';
  const questions = [...open, ...faults.filter(asks)];
  const grades = gradesIn(table, answers.mapping);
  const unbalanced = leafBalance(trial).problems.filter(({ kind }) => kind === 'question');
  return {
    rows,
    problems: [...view.problems, ...faults].filter(
      ({ kind, code }) => kind !== 'question' && !saidByTheApp.includes(code),
    ),
    asking: {
      questions: withWritten(table, answers, questions),
      treatments: trial.treatments.map(({ name }) => name),
      ...(trial.valueMeasure === undefined ? {} : { figure: trial.valueMeasure.name }),
      ...(grades === undefined ? {} : { gradesSeen: grades }),
    },
    unbalanced,
    scored: trial.scores.length > 0 || trial.times.length > 0,
    plots: trial.plots.length,
    rounds: trial.rounds.length,
  };
}
