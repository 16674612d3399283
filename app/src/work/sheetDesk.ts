import { isDataPackage, packageToTrial, type Table, trialToPackage } from '@fairbed/files';
import type { Trial } from '@fairbed/trial';
import type { Answers } from '../sheet/answers';
import { openTable, trialFrom, tryAnswers } from './readSheet';
import type { Opened, SheetView, Tried } from './sheetView';

type OpenSheet = { readonly table: Table; readonly view: SheetView };

let sheet: OpenSheet | undefined;

const openSheet = (): OpenSheet => {
  if (!sheet) throw new Error('The sheet is no longer open. Choose the file again.');
  return sheet;
};

function openPackage(bytes: Uint8Array, file: string): Opened {
  const { trial, entries, problems } = packageToTrial(bytes, file);
  if (trial && entries) return { kind: 'ledger' };
  return trial ? { kind: 'trial', trial, problems } : { kind: 'refused', problems };
}

/** Reads a data package or the sheet of that name in a workbook; a sheet stays open. */
export function openFile(bytes: Uint8Array, file: string, name: string | undefined): Opened {
  sheet = undefined;
  if (isDataPackage(bytes)) return openPackage(bytes, file);
  const { opened, table } = openTable(bytes, file, name);
  if (opened.kind === 'sheet' && table) sheet = { table, view: opened.view };
  return opened;
}

/** Rows of the open sheet. */
export const rows = (): number => openSheet().table.rows;

/** What comes of the open sheet's rows with these answers. */
export function tried(answers: Answers): Tried {
  const { table, view } = openSheet();
  return tryAnswers(table, view, answers);
}

/** The open sheet as a trial. */
export const taken = (answers: Answers): Trial => trialFrom(openSheet().table, answers).trial;

/** A trial as a data package: the bytes of a zip. */
export const packed = trialToPackage;
