import { type Problem, problemLine } from '@fairbed/field';
import { isDataPackage, packageToTrial, type Table, trialToPackage } from '@fairbed/files';
import { availableOutcomes, plotValues, readTrial, tabulate, type Trial } from '@fairbed/trial';
import { type Judgement, judge } from '@fairbed/verdict';
import type { Answers } from '../sheet/answers';
import { openTable, trialFrom, tryAnswers } from './readSheet';
import type { Opened, SheetView, Tried } from './sheetView';

/** What the worker is doing now, in words, and how far it is (0 to 1) where that is known. */
export type Stage = { readonly doing: string; readonly share?: number };
export type Report = (stage: Stage) => void;

/** An outcome that a trial's scores carry. */
export type OutcomeChoice = { readonly id: string; readonly title: string };

/** A trial that was checked at the door. */
export type Held = { readonly trial: Trial; readonly outcomes: readonly OutcomeChoice[] };

/** The reader's choices, as `judge` takes them; the seed stays its own. */
export type Ask = {
  readonly outcome?: string;
  readonly baseline?: string;
  readonly control?: string;
  readonly worthHavingPercent?: number;
  /** The verdict alone; the models of single leaves and grades take longest. */
  readonly withoutModels?: boolean;
};

const faultOf = (problems: readonly Problem[]): Error =>
  new Error(problems.slice(0, 3).map(problemLine).join(' '));

const held = new Map<string, Trial>();

const heldTrial = (id: string): Trial => {
  const trial = held.get(id);
  if (!trial) throw new Error('The trial was put away while it was being judged. Open it again.');
  return trial;
};

function outcomesOf(trial: Trial): OutcomeChoice[] {
  const tally = tabulate(trial);
  return availableOutcomes(tally).map((id) => ({ id, title: plotValues(tally, id).title }));
}

let sheet: { readonly table: Table; readonly view: SheetView } | undefined;

const openSheet = (): { readonly table: Table; readonly view: SheetView } => {
  if (!sheet) throw new Error('The sheet is no longer open. Choose the file again.');
  return sheet;
};

function openPackage(bytes: Uint8Array, file: string): Opened {
  const { trial, problems } = packageToTrial(bytes, file);
  return trial ? { kind: 'trial', trial, problems } : { kind: 'refused', problems };
}

/** What the page may ask of the worker. A worker holds trials, and one sheet at a time. */
export const desk = {
  /** Checks a trial at the door and keeps it for judging. */
  hold(id: string, raw: unknown, report: Report): Held {
    report({ doing: 'Checking the trial' });
    const read = readTrial(raw);
    if (!read.ok) throw faultOf(read.problems);
    held.set(id, read.trial);
    return { trial: read.trial, outcomes: outcomesOf(read.trial) };
  },

  /** Judges a held trial. The same trial and choices give the same answer to the bit. */
  judge(id: string, ask: Ask, report: Report): Judgement {
    const trial = heldTrial(id);
    report({ doing: `Judging ${trial.plots.length} plots` });
    return judge(trial, ask);
  },

  /** A trial as a data package: the bytes of a zip. */
  pack(id: string): Uint8Array {
    return trialToPackage(heldTrial(id));
  },

  /** Reads a file that the grower chose and keeps its sheet. */
  openFile(
    bytes: Uint8Array,
    file: string,
    name: string | undefined,
    report: Report,
  ): Promise<Opened> {
    report({ doing: `Reading ${file}` });
    sheet = undefined;
    if (isDataPackage(bytes)) return Promise.resolve(openPackage(bytes, file));
    const { opened, table } = openTable(bytes, file, name);
    if (opened.kind === 'sheet' && table) sheet = { table, view: opened.view };
    return Promise.resolve(opened);
  },

  /** Reads every row of the open sheet with these answers. */
  tryAnswers(answers: Answers, report: Report): Tried {
    const { table, view } = openSheet();
    report({ doing: `Sorting ${table.rows} rows into plots` });
    return tryAnswers(table, view, answers);
  },

  /** The open sheet as a trial. */
  takeTrial(answers: Answers, report: Report): Trial {
    const { table } = openSheet();
    report({ doing: `Sorting ${table.rows} rows into plots` });
    return trialFrom(table, answers).trial;
  },
};

export type Desk = typeof desk;
