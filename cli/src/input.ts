import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import type { Problem } from '@fairbed/field';
import {
  guessMapping,
  isDataPackage,
  type Mapping,
  packageToTrial,
  readTable,
  type RowCount,
  type Table,
  tableToTrial,
  type TrialOptions,
} from '@fairbed/files';
import { readTrialText, type Trial } from '@fairbed/trial';

/** What a file held: a trial where one could be made, and everything found wrong or odd. */
export type Loaded = {
  readonly trial: Trial | undefined;
  readonly problems: readonly Problem[];
  readonly rows: RowCount;
  /** The columns as they were read; absent for a data package or a trial document. */
  readonly mapping?: Mapping;
};

/** A file that can't be opened; the message says which and what to do. */
export class InputError extends Error {
  override readonly name = 'InputError';
}

/** The command can't be done as it was given; the message says why and what to do. */
export class UsageError extends Error {
  override readonly name = 'UsageError';
}

/** @throws InputError when the file can't be read. */
export function fileBytes(path: string): Uint8Array {
  try {
    return readFileSync(path);
  } catch (error) {
    const why =
      (error as NodeJS.ErrnoException).code === 'EISDIR' ? 'is a folder' : 'can’t be opened';
    throw new InputError(
      `${path} ${why}. Give the path of a CSV, XLSX, data package or trial file.`,
    );
  }
}

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

const scoreRows = (trial: Trial | undefined): RowCount => {
  const read = trial?.scores.length ?? 0;
  return { read, used: read, set_aside: 0 };
};

/** The guess and the reading can ask the very same thing: say it once. */
const once = (problems: readonly Problem[]): Problem[] => [
  ...new Map(problems.map((problem) => [JSON.stringify(problem), problem])).values(),
];

/** No trial of a garden is larger; anything that is was not written by us. */
const mostJson = 50 * 1024 * 1024;

function loadDocument(bytes: Uint8Array, file: string): Loaded {
  if (bytes.length > mostJson)
    throw new InputError(`${file} is over 50 MB, too large for a trial.`);
  const read = readTrialText(new TextDecoder().decode(bytes));
  return read.ok
    ? { trial: read.trial, problems: read.notes, rows: scoreRows(read.trial) }
    : {
        trial: undefined,
        problems: read.problems.map((problem) => ({ file, ...problem })),
        rows: scoreRows(undefined),
      };
}

/** What the command line says of the columns: a mapping made for this table, or none (guess it). */
export type MappingOf = (table: Table) => { mapping: Mapping; questions: readonly Problem[] };

/**
 * Reads a trial from a data package, a trial document (JSON) or a spreadsheet. Spreadsheets are
 * read by `mappingOf`, or by a guess from their headings.
 */
export function load(
  path: string,
  mappingOf: MappingOf = guessMapping,
  options: TrialOptions = {},
): Loaded {
  const bytes = fileBytes(path);
  const file = basename(path);
  if (isDataPackage(bytes)) {
    const { trial, problems } = packageToTrial(bytes, file, sha256);
    return { trial, problems, rows: scoreRows(trial) };
  }
  if (/\.json$/i.test(file)) return loadDocument(bytes, file);
  const { table, problems } = readTable(bytes, file);
  if (table === undefined) return { trial: undefined, problems, rows: scoreRows(undefined) };
  const { mapping, questions } = mappingOf(table);
  const title = options.title ?? file.replace(/\.\w+$/, '');
  const built = tableToTrial(table, mapping, { ...options, title });
  return {
    trial: built.trial,
    problems: once([...problems, ...questions, ...built.faults]),
    rows: built.rows,
    mapping,
  };
}
