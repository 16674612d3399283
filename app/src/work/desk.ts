import { type Problem, problemLine } from '@fairbed/field';
import {
  availableOutcomes,
  plotValues,
  readTrial,
  tabulate,
  timelineOf,
  type Trial,
  upTo,
} from '@fairbed/trial';
import { createJudge, type Judgement } from '@fairbed/verdict';
import { hasBook } from '../book/bookCards';
import type { Answers } from '../sheet/answers';
import { isDemo, loadDemo } from '../shelf/demos';
import { readStoredTrial } from '../shelf/store';
import type { Ask } from './ask';
import { beginEarly, type Early } from './early';
import type { First } from './first';
import type { Opened, Tried } from './sheetView';

/** What the worker is doing now, in words, and how far it is (0 to 1) where that is known. */
export type Stage = { readonly doing: string; readonly share?: number };
export type Report = (stage: Stage) => void;

/** An outcome that a trial's scores carry. */
export type OutcomeChoice = { readonly id: string; readonly title: string };

/** A round after which a trial can be judged, and what it could be judged by then. */
export type LookChoice = {
  readonly id: string;
  readonly day?: string;
  readonly name?: string;
  readonly outcomes: readonly string[];
};

/** A trial that was checked at the door. */
export type Held = {
  readonly trial: Trial;
  readonly outcomes: readonly OutcomeChoice[];
  /** Folded from a ledger, which says by itself how the trial was laid out and scored. */
  readonly book: boolean;
};

const faultOf = (problems: readonly Problem[]): Error =>
  new Error(problems.slice(0, 3).map(problemLine).join(' '));

const held = new Map<string, Promise<Trial | undefined>>();

/** Held trials that were folded from a book. */
const books = new Set<string>();

// Folding a book is a part of its own: the verdict on a sheet does not wait for it.
async function readBook(id: string): Promise<unknown> {
  if (!(await hasBook(id))) return undefined;
  books.add(id);
  const { readStoredBook } = await import('../book/storedTrial');
  return readStoredBook(id);
}

async function readKept(id: string): Promise<unknown> {
  if (isDemo(id)) return loadDemo(id);
  // A book comes first: it holds more than a sheet of the same id that was brought in.
  return (await readBook(id)) ?? readStoredTrial(id);
}

async function readHeld(id: string, given: unknown): Promise<Trial | undefined> {
  const raw = given ?? (await readKept(id));
  if (raw === undefined) return undefined;
  const read = readTrial(raw);
  if (!read.ok) throw faultOf(read.problems);
  return read.trial;
}

const judges = new WeakMap<Trial, ReturnType<typeof createJudge>>();

// What was worked out for one question of a trial serves the next one.
function judgeHeld(trial: Trial, ask: Ask): Judgement {
  let judge = judges.get(trial);
  if (judge === undefined) {
    judge = createJudge(trial);
    judges.set(trial, judge);
  }
  return judge(ask);
}

let early: Early | undefined;

/** Begins on what the page will ask first. */
export function beginWith(first: First): void {
  early = beginEarly(first, (id) => readHeld(id, undefined), judgeHeld);
}

async function heldTrial(id: string): Promise<Trial> {
  const trial = await held.get(id);
  if (!trial) throw new Error('This trial is not here. Open it again.');
  return trial;
}

function outcomesOf(trial: Trial): OutcomeChoice[] {
  const tally = tabulate(trial);
  return availableOutcomes(tally).map((id) => ({ id, title: plotValues(tally, id).title }));
}

function looksOf(trial: Trial): LookChoice[] {
  return timelineOf(trial).rounds.map(({ id, day, name }) => ({
    id,
    ...(day === undefined ? {} : { day }),
    ...(name === undefined ? {} : { name }),
    outcomes: availableOutcomes(tabulate(upTo(trial, id) ?? trial)),
  }));
}

// Reading of files is a part of its own: a verdict does not wait for what only a sheet needs.
const sheets = () => import('./sheetDesk');

/** What the page may ask of the worker. A worker holds trials, and one sheet at a time. */
export const desk = {
  /**
   * Fetches a trial from where it is kept (or takes the one given), checks it at the door and
   * keeps it for judging. Undefined where there is no such trial.
   */
  async hold(id: string, given: unknown, report: Report): Promise<Held | undefined> {
    report({ doing: 'Checking the trial' });
    const begun = given === undefined ? early?.reading(id) : undefined;
    const reading = begun ?? readHeld(id, given);
    held.set(id, reading);
    const trial = await reading;
    return trial && { trial, outcomes: outcomesOf(trial), book: books.has(id) };
  },

  /** Judges a held trial. The same trial and choices give the same answer to the bit. */
  async judge(id: string, ask: Ask, report: Report): Promise<Judgement> {
    const trial = await heldTrial(id);
    report({ doing: `Judging ${trial.plots.length} plots` });
    return early?.answer(trial, ask) ?? judgeHeld(trial, ask);
  },

  /** The rounds of a held trial, the earliest first. */
  async looks(id: string): Promise<LookChoice[]> {
    return looksOf(await heldTrial(id));
  },

  /** A trial as a data package: the bytes of a zip. */
  async pack(id: string): Promise<Uint8Array> {
    return (await sheets()).packed(await heldTrial(id));
  },

  /** Reads a file that the grower chose and keeps its sheet. */
  async openFile(
    bytes: Uint8Array,
    file: string,
    name: string | undefined,
    report: Report,
  ): Promise<Opened> {
    report({ doing: `Reading ${file}` });
    return (await sheets()).openFile(bytes, file, name);
  },

  /** Reads every row of the open sheet with these answers. */
  async tryAnswers(answers: Answers, report: Report): Promise<Tried> {
    const { rows, tried } = await sheets();
    report({ doing: `Sorting ${rows()} rows into plots` });
    return tried(answers);
  },

  /** The open sheet as a trial. */
  async takeTrial(answers: Answers, report: Report): Promise<Trial> {
    const { rows, taken } = await sheets();
    report({ doing: `Sorting ${rows()} rows into plots` });
    return taken(answers);
  },
};

export type Desk = typeof desk;
