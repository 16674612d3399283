import { type Problem, readDay } from '@fairbed/field';
import type { Mapping, Measure } from '@fairbed/files';
import type { Answers, Asking, OpenProblem } from './answers';
import { without } from '../writable';
import { chooseMeasure, roleWords } from './roles';

/** A question with a few plain answers, or one written in; none is given until the grower does. */
export type Question = {
  readonly id: string;
  readonly question: string;
  readonly why?: string;
  /** Empty where the answer is written in. */
  readonly choices: readonly { readonly id: string; readonly label: string }[];
  /** The answer is a year (`2026`) or a day (`2026-05-04`). */
  readonly write?: 'year' | 'day';
  /** The sheet can be judged without an answer. */
  readonly optional?: true;
  readonly answer: string | undefined;
  readonly withAnswer: (choice: string) => Answers;
};

const noControl = ' none';

function controlQuestion(answers: Answers, asking: Asking): Question {
  const { control } = answers;
  const known = control === null || (control !== undefined && asking.treatments.includes(control));
  return {
    id: 'control',
    question: 'Which treatment is the untreated control?',
    why: 'Every other treatment is compared with it.',
    choices: [
      ...asking.treatments.map((name) => ({ id: name, label: name })),
      { id: noControl, label: 'There is none' },
    ],
    answer: known ? (control ?? noControl) : undefined,
    withAnswer: (choice) => ({ ...answers, control: choice === noControl ? null : choice }),
  };
}

const betterQuestion = (answers: Answers, figure: string): Question => ({
  id: 'better',
  question: `Is a lower or a higher ${figure} better?`,
  choices: [
    { id: 'lower', label: 'Lower is better' },
    { id: 'higher', label: 'Higher is better' },
  ],
  answer: answers.better,
  withAnswer: (choice) => ({ ...answers, better: choice === 'higher' ? 'higher' : 'lower' }),
});

type Asker = (problem: OpenProblem, answers: Answers, asking: Asking) => Question | undefined;

const ofMapping = <K extends 'dateOrder' | 'decimal' | 'severityScale'>(
  key: K,
  question: string,
  choices: readonly { readonly id: NonNullable<Mapping[K]>; readonly label: string }[],
): Asker => {
  return (problem, answers) => ({
    id: key,
    question,
    why: problem.what,
    choices,
    answer: answers.mapping[key],
    withAnswer: (choice) => ({ ...answers, mapping: { ...answers.mapping, [key]: choice } }),
  });
};

/** Scales growers use; those that hold every grade of the sheet are offered. */
const commonScales: readonly (readonly [number, number])[] = [
  [0, 3],
  [0, 4],
  [0, 5],
  [1, 5],
  [0, 9],
  [1, 9],
  [0, 10],
  [1, 10],
];

function scalesFor([least, most]: readonly [number, number]): (readonly [number, number])[] {
  const common = commonScales.filter(([low, high]) => low <= least && high >= most);
  const seen = common.some(([low, high]) => low === least && high === most);
  return seen ? common : [[least, most], ...common];
}

const scaleQuestion: Asker = (problem, answers, { gradesSeen }) =>
  gradesSeen && {
    id: 'grades',
    question: 'From which to which grade does the scale run?',
    why: problem.what,
    choices: scalesFor(gradesSeen).map(([low, high]) => ({
      id: `${low} ${high}`,
      label: `${low} to ${high}`,
    })),
    answer: answers.grades?.join(' '),
    withAnswer: (choice) => {
      const [low = 0, high = 0] = choice.split(' ').map(Number);
      return { ...answers, grades: [low, high] };
    },
  };

const healthyQuestion: Asker = (problem, answers, { gradesSeen }) => {
  const [low, high] = answers.grades ?? gradesSeen ?? [];
  const named = (end: string, grade: number | undefined): string =>
    answers.grades && grade !== undefined ? `${grade}, the ${end} grade` : `The ${end} grade`;
  return {
    id: 'healthy',
    question: 'Which grade is a healthy plant?',
    why: problem.what,
    choices: [
      { id: 'lowest', label: named('lowest', low) },
      { id: 'highest', label: named('highest', high) },
    ],
    answer: answers.healthy,
    withAnswer: (choice) => ({ ...answers, healthy: choice === 'highest' ? 'highest' : 'lowest' }),
  };
};

const spellingQuestion: Asker = (problem, answers, asking) => {
  const { written } = problem;
  if (written === undefined) return undefined;
  const others = answers.spellings.filter((entry) => entry.written !== written);
  return {
    id: `spelling ${written}`,
    question: `Is "${written}" a treatment of its own?`,
    why: problem.what,
    choices: [
      { id: written, label: 'Yes, it is one of its own' },
      ...asking.treatments
        .filter((name) => name !== written)
        .map((name) => ({ id: name, label: `No, it is ${name}` })),
    ],
    answer: answers.spellings.find((entry) => entry.written === written)?.means,
    withAnswer: (means) => ({ ...answers, spellings: [...others, { written, means }] }),
  };
};

const offeredMeasures: readonly Measure[] = ['severity', 'grade', 'diseased', 'leaves', 'value'];

const measureQuestion: Asker = (problem, answers) => {
  const groups = answers.mapping.wide ?? [];
  const index = groups.findIndex(
    ({ columns }) => problem.column?.startsWith(`${columns[0]?.column ?? ''} to `) ?? false,
  );
  const first = groups[index]?.columns[0]?.column;
  if (first === undefined) return undefined;
  return {
    id: `measured ${first}`,
    question: `What was scored in the columns ${problem.column ?? ''}?`,
    why: problem.what,
    choices: offeredMeasures.map((measure) => ({ id: measure, label: roleWords[measure] })),
    answer: answers.measured.find((entry) => entry.first === first)?.measure,
    withAnswer: (choice) => {
      const measure = offeredMeasures.find((offered) => offered === choice) ?? 'value';
      const others = answers.measured.filter((entry) => entry.first !== first);
      const mapping = chooseMeasure(answers.mapping, index, measure);
      return { ...answers, mapping, measured: [...others, { first, measure }] };
    },
  };
};

/** Years a trial may have been in; a year half written is none yet. */
const isYear = (text: string): boolean => /^(19|20)\d\d$/.test(text);

const yearQuestion: Asker = (problem, answers) => ({
  id: 'year',
  question: 'In which year was the trial?',
  why: problem.what,
  choices: [],
  write: 'year',
  answer: answers.mapping.year?.toString(),
  withAnswer: (text) => ({
    ...answers,
    mapping: isYear(text)
      ? { ...answers.mapping, year: Number(text) }
      : without(answers.mapping, 'year'),
  }),
});

const firstDayQuestion: Asker = (problem, answers) => ({
  id: 'firstDay',
  question: 'On which date did day 0 fall?',
  why: problem.what,
  choices: [],
  write: 'day',
  optional: true,
  answer: answers.mapping.firstDay,
  withAnswer: (text) => ({
    ...answers,
    mapping:
      readDay(text) === undefined
        ? without(answers.mapping, 'firstDay')
        : { ...answers.mapping, firstDay: text },
  }),
});

const askers: Readonly<Record<string, Asker>> = {
  'what-measure': measureQuestion,
  'date-order': ofMapping('dateOrder', 'Which comes first in the dates?', [
    { id: 'dmy', label: 'The day' },
    { id: 'mdy', label: 'The month' },
  ]),
  'decimal-open': ofMapping('decimal', 'What is the comma in these figures?', [
    { id: 'comma', label: 'It begins the decimals' },
    { id: 'point', label: 'It sets thousands apart' },
  ]),
  'severity-fraction': ofMapping('severityScale', 'What does 1 mean in this column?', [
    { id: 'fraction', label: 'The whole leaf: shares from 0 to 1' },
    { id: 'percent', label: 'One percent of the leaf' },
  ]),
  'grade-classes': scaleQuestion,
  'grade-healthy': healthyQuestion,
  'spelt-two-ways': spellingQuestion,
  'date-year': yearQuestion,
  'first-day': firstDayQuestion,
};

export type Questions = {
  /** To be answered before the sheet is judged. */
  readonly asked: readonly Question[];
  /** Answered by saying what the columns hold, or in the sheet itself. */
  readonly inColumns: readonly Problem[];
};

const firstOf = <T extends { readonly id: string }>(items: readonly T[]): T[] => [
  ...new Map(items.map((item) => [item.id, item])).values(),
];

/**
 * The questions of a sheet. `before` holds those asked earlier: an answered one stays in its place
 * so that the answer can be seen and changed, though the sheet itself no longer asks.
 */
export function questionsOf(
  answers: Answers,
  asking: Asking,
  before: readonly OpenProblem[] = [],
): Questions {
  const ask = (problem: OpenProblem): Question | undefined =>
    askers[problem.code]?.(problem, answers, asking);
  const old = before.flatMap((problem) => ask(problem) ?? []);
  const now = asking.questions.flatMap((problem) => ask(problem) ?? []);
  const open = new Set(now.map(({ id }) => id));
  const kept = [...old, ...now].filter(({ id, answer }) => open.has(id) || answer !== undefined);
  return {
    asked: [
      ...firstOf(kept),
      ...(asking.figure === undefined ? [] : [betterQuestion(answers, asking.figure)]),
      ...(asking.treatments.length > 0 ? [controlQuestion(answers, asking)] : []),
    ],
    inColumns: asking.questions.filter((problem) => ask(problem) === undefined),
  };
}
