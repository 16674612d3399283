import type { Problem } from '@fairbed/field';
import { guessDelimiter, readDelimited } from './csv';
import { limits } from './limits';
import { type Table, tableFromGrid } from './table';
import { toUtf8 } from './text';
import { say } from './say';
import { readXlsx } from './xlsx';
import { isZip } from './zip';

/** A table, where one was found, and whatever is wrong or odd about the file. */
export type TableResult = { readonly table?: Table; readonly problems: readonly Problem[] };

const starts = (bytes: Uint8Array, ...magic: number[]): boolean =>
  magic.every((b, i) => bytes[i] === b);

/**
 * Reads the table in a CSV, TSV or XLSX file, told apart by its content and not by its name. Title
 * rows above the headings are skipped and noted; empty rows are skipped and keep their number; rows
 * are numbered as the spreadsheet shows them. `sheet` picks a sheet of a workbook by name. Never
 * throws: a file that can't be read, or is too big, or hostile, comes back as problems.
 */
export function readTable(bytes: Uint8Array, fileName: string, sheet?: string): TableResult {
  const file = fileName;
  if (bytes.length === 0) return { problems: [say('empty-file', { file })] };
  if (bytes.length > limits.fileBytes) {
    return {
      problems: [say('too-large', { file }, bytes.length / 1048576, limits.fileBytes / 1048576)],
    };
  }
  if (isZip(bytes)) return readXlsx(bytes, file, sheet);
  if (starts(bytes, 0xd0, 0xcf, 0x11, 0xe0)) return { problems: [say('old-workbook', { file })] };
  if (starts(bytes, 0x25, 0x50, 0x44, 0x46)) return { problems: [say('is-pdf', { file })] };
  const text = toUtf8(bytes);
  if (text === undefined) return { problems: [say('not-text', { file })] };
  return readText(text.bytes, file);
}

function readText(bytes: Uint8Array, file: string): TableResult {
  const stated = statedDelimiter(bytes);
  const tabs = file.toLowerCase().endsWith('.tsv');
  const delimiter = stated?.delimiter ?? guessDelimiter(bytes, tabs ? 9 : 44);
  const grid = readDelimited(bytes, delimiter, stated?.from ?? 0);
  if ('refused' in grid) {
    if (grid.refused === 'quote-not-closed')
      return { problems: [say('quote-not-closed', { file, row: grid.row })] };
    if (grid.refused === 'too-many-columns') {
      return { problems: [say('too-many-columns', { file, row: grid.row }, limits.columns)] };
    }
    if (grid.refused === 'too-many-rows')
      return { problems: [say('too-many-rows', { file }, limits.rows)] };
    return { problems: [say('too-many-cells', { file })] };
  }
  return tableFromGrid(grid, file);
}

/** A first line `sep=;` names the delimiter; spreadsheets obey it and do not show it as a row. */
function statedDelimiter(bytes: Uint8Array): { delimiter: number; from: number } | undefined {
  if (!starts(bytes, 115, 101, 112, 61) || bytes[4] === undefined) return undefined;
  let from = 5;
  if (bytes[from] === 13) from++;
  if (bytes[from] !== 10) return undefined;
  return { delimiter: bytes[4], from: from + 1 };
}
