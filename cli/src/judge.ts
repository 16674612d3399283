import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Problem, problemLine } from '@fairbed/field';
import type { TrialOptions } from '@fairbed/files';
import type { Trial } from '@fairbed/trial';
import {
  type EarlierSpread,
  judge,
  JudgeError,
  type Judgement,
  type MethodId,
  spreadsOf,
} from '@fairbed/verdict';
import { type ColumnFlags, mappingOf, namesColumns } from './columns';
import { type Loaded, load } from './input';
import { writePicture } from './picture';
import { printJudgement } from './print-judgement';

export type JudgeFlags = ColumnFlags & {
  readonly grades?: readonly number[];
  readonly healthyGrade?: number;
  readonly better?: 'lower' | 'higher';
  readonly baseline?: string;
  readonly control?: string;
  readonly outcome?: string;
  readonly seed?: number;
  readonly places?: 'by-lot' | 'chosen';
  readonly blind?: boolean;
  readonly worthHaving?: number;
  readonly method?: MethodId;
  readonly scale?: 'as-scored' | 'square-root' | 'logarithm' | 'log-odds';
  readonly look?: string;
  readonly earlier?: readonly string[];
  readonly acceptSetAside?: boolean;
  readonly demo?: boolean;
  readonly json?: boolean;
  readonly picture?: string;
};

/** What a command leaves behind: its two streams and its exit status. */
export type Done = { readonly out: string; readonly err: string; readonly status: 0 | 1 | 2 };

const demoFile = join(
  dirname(fileURLToPath(import.meta.url)),
  '..',
  '..',
  'data',
  'demo',
  'chard-leaf-spot.json',
);

/** The classes are given in order, healthy first, unless the flags say otherwise. */
export const trialOptions = (flags: JudgeFlags): TrialOptions => ({
  ...(flags.control === undefined ? {} : { control: flags.control }),
  ...(flags.grades === undefined ? {} : { gradeClasses: flags.grades }),
  ...(flags.healthyGrade === undefined && flags.grades === undefined
    ? {}
    : { healthyGrade: flags.healthyGrade ?? flags.grades?.[0] }),
  ...(flags.better === undefined ? {} : { better: flags.better }),
});

/** A column that was named and is not there is a slip of the command, not of the sheet. */
export const wrongColumn = (problems: readonly Problem[]): Problem | undefined =>
  problems.find(({ code }) => code === 'no-such-column');

const wrongUsage = (message: string, before = ''): Done => ({
  out: '',
  err: `${before}fairbed judge: ${message}\n`,
  status: 2,
});

/** The trial with what the flags say of its draw and its scorer. */
function asTold(trial: Trial, { places, blind }: JudgeFlags): Trial {
  const design =
    places === undefined ? trial.design : { ...trial.design, randomised: places === 'by-lot' };
  return { ...trial, design, ...(blind === true ? { plan: { ...trial.plan, blind } } : {}) };
}

const scaleWords = {
  'as-scored': 'as scored',
  'square-root': 'square root',
  logarithm: 'logarithm',
  'log-odds': 'log-odds',
} as const;

/** Of so many scores, what decides nothing is worked out for the JSON document only. */
const manyScores = 20_000;

/** A file of an earlier trial that can't be judged; the message is a sentence. */
class EarlierError extends Error {
  override readonly name = 'EarlierError';
}

/** How unlike plots were in the files of earlier trials, read with the same flags. */
const earlierFrom = (flags: JudgeFlags): readonly EarlierSpread[] =>
  (flags.earlier ?? []).flatMap((file) => {
    const { trial, problems } = load(file, mappingOf(flags), trialOptions(flags));
    const fault = problems.find(({ kind }) => kind === 'fault');
    if (trial === undefined) {
      throw new EarlierError(`${file} can’t be read as an earlier trial. ${fault?.what ?? ''}`);
    }
    return spreadsOf(judge(trial));
  });

function judged(loaded: Loaded, flags: JudgeFlags): Judgement | string {
  if (loaded.trial === undefined) return 'nothing could be read from the file';
  const { trial } = loaded;
  try {
    return judge(asTold(trial, flags), {
      ...(flags.control === undefined ? {} : { control: flags.control }),
      ...(flags.outcome === undefined ? {} : { outcome: flags.outcome }),
      ...baselineOf(flags),
      ...(flags.seed === undefined ? {} : { seed: flags.seed }),
      ...(flags.worthHaving === undefined ? {} : { worthHavingPercent: flags.worthHaving }),
      ...(flags.method === undefined ? {} : { method: flags.method }),
      ...(flags.scale === undefined ? {} : { scale: scaleWords[flags.scale] }),
      ...(flags.look === undefined ? {} : { look: flags.look }),
      ...(flags.earlier === undefined ? {} : { earlier: earlierFrom(flags) }),
      exactForAll: flags.json === true,
      withoutModels: flags.json !== true && trial.scores.length > manyScores,
    });
  } catch (error) {
    if (error instanceof JudgeError || error instanceof EarlierError) return error.message;
    throw error;
  }
}

function baselineOf({ baseline, baselineValue }: JudgeFlags): { baseline?: string } {
  if (baseline !== undefined) return { baseline };
  return baselineValue === undefined ? {} : { baseline: 'baseline-value' };
}

/** Problems to be told beside the verdict: faults and open questions. */
const setsAside = ({ kind }: Problem): boolean => kind !== 'note';

function withSetAside(judgement: Judgement, { problems, rows }: Loaded): Judgement {
  const lines = problems.filter(setsAside).map(problemLine);
  if (lines.length === 0) return judgement;
  const count =
    rows.set_aside > 0
      ? [
          rows.used === 0
            ? `All ${rows.read} rows were set aside, so nothing was judged.`
            : `${rows.set_aside} of ${rows.read} rows were set aside; the rest was judged.`,
        ]
      : [];
  const { verdict } = judgement;
  return {
    ...judgement,
    verdict: { ...verdict, cautions: [...count, ...lines, ...verdict.cautions] },
  };
}

const guessNote = ({ mapping }: Loaded): string =>
  mapping === undefined
    ? ''
    : `No columns were named, so they were guessed from the headings: ${mapping.columns
        .filter(({ role }) => role !== 'ignore')
        .map(({ column, role }) => `${column} = ${role}`)
        .concat(
          (mapping.wide ?? []).map(
            ({ measure, columns }) => `${columns.map((c) => c.column).join(' | ')} = ${measure}`,
          ),
        )
        .join(', ')}.\n`;

/** `fairbed judge FILE`: reads, judges, and says for a grower or as one JSON document. */
export function judgeCommand(path: string | undefined, flags: JudgeFlags): Done {
  const file = flags.demo === true ? demoFile : path;
  if (file === undefined)
    return wrongUsage('name a scores file or a data package, or give --demo.');
  if (flags.demo === true && !existsSync(file))
    return wrongUsage('the demo is not here; it comes with the repository.');
  if ((flags.diseased === undefined) !== (flags.leaves === undefined)) {
    return wrongUsage(
      '--diseased and --leaves go together: diseased leaves out of leaves looked at.',
    );
  }
  const named = namesColumns(flags);
  if (named && flags.treatment === undefined)
    return wrongUsage('name the treatments’ column with --treatment.');
  const loaded = load(file, mappingOf(flags), trialOptions(flags));
  const wrong = wrongColumn(loaded.problems);
  if (wrong !== undefined) return wrongUsage(problemLine(wrong));
  const faulty = loaded.rows.set_aside > 0 || loaded.problems.some(({ kind }) => kind === 'fault');
  const guessed = named ? '' : guessNote(loaded);
  const err = guessed + loaded.problems.map((problem) => `${problemLine(problem)}\n`).join('');
  const result = judged(loaded, flags);
  if (typeof result === 'string') {
    return loaded.trial === undefined ? { out: '', err, status: 1 } : wrongUsage(result, err);
  }
  const judgement = withSetAside(result, loaded);
  const out = flags.json === true ? `${JSON.stringify(judgement)}\n` : printJudgement(judgement);
  const picture = flags.picture === undefined ? '' : writePicture(judgement, flags.picture);
  return { out, err: err + picture, status: faulty && flags.acceptSetAside !== true ? 1 : 0 };
}
