import type { Problem } from '@fairbed/field';
import { cellKind, type CellKind, type Grid, textColumn, type TextColumn } from './grid';
import { limits } from './limits';
import { type Table, tableFromGrid } from './table';
import { say } from './say';
import { readWorkbook, serialDay, type Sheet, type Workbook } from './workbook';
import { readXml, type XmlRefusal, XmlStop } from './xml';
import { openZip, type Zip } from './zip';

type Cell = { column: number; type: string; style: number; formula: boolean; value: string };
type SheetGrid = Grid & { readonly hidden: number; readonly filled: number };

const columnOf = (reference: string): number => {
  let n = 0;
  for (let i = 0; i < reference.length; i++) {
    const c = reference.charCodeAt(i);
    if (c < 65 || c > 90) break;
    n = n * 26 + c - 64;
    if (n > 1e6) break;
  }
  return n - 1;
};

/** What stands in a cell as text, and what kind of thing the workbook says it is. */
function cellText(cell: Cell, book: Workbook): { text: string; kind: CellKind } {
  const { type, value } = cell;
  if (cell.formula && value === '' && type !== 'str')
    return { text: 'formula', kind: cellKind.unsaved };
  if (type === 's') return { text: book.strings[Number(value)] ?? '', kind: cellKind.text };
  if (type === 'str' || type === 'inlineStr') return { text: value, kind: cellKind.text };
  if (type === 'b') return { text: value === '1' ? 'TRUE' : 'FALSE', kind: cellKind.text };
  if (type === 'e') return { text: value, kind: cellKind.error };
  if (type === 'd') return { text: value.slice(0, 10), kind: cellKind.date };
  if (value === '') return { text: '', kind: cellKind.text };
  const number = Number(value);
  if (!Number.isFinite(number)) return { text: value, kind: cellKind.text };
  const format = book.formats[cell.style] ?? 'plain';
  if (format === 'date') {
    const day = serialDay(number, book.date1904);
    return day === undefined
      ? { text: String(number), kind: cellKind.number }
      : { text: day, kind: cellKind.date };
  }
  // Shown as 45 %, kept as 0.45: what the grower sees is meant.
  if (format === 'percent') {
    return { text: `${Number((number * 100).toPrecision(14))}%`, kind: cellKind.number };
  }
  return { text: String(number), kind: cellKind.number };
}

type SheetDraft = {
  readonly columns: TextColumn[];
  readonly numbers: number[];
  readonly merges: string[];
  hidden: number;
  filled: number;
};

function startRow(draft: SheetDraft, attributes: Readonly<Record<string, string>>): void {
  const { numbers } = draft;
  if (numbers.length >= limits.rows) throw new XmlStop('too-many-rows');
  const previous = numbers[numbers.length - 1] ?? 0;
  const given = Number(attributes['r'] ?? previous + 1);
  const fits = Number.isInteger(given) && given > previous && given < 1e7;
  numbers.push(fits ? given : previous + 1);
  if (attributes['hidden'] === '1') draft.hidden++;
}

function startCell(attributes: Readonly<Record<string, string>>, nextColumn: number): Cell {
  const at = attributes['r'] === undefined ? nextColumn : columnOf(attributes['r']);
  const column = at < 0 ? nextColumn : at;
  if (column >= limits.columns) throw new XmlStop('too-many-columns');
  const style = Number(attributes['s'] ?? 0);
  return { column, type: attributes['t'] ?? 'n', style, formula: false, value: '' };
}

function keepCell(draft: SheetDraft, cell: Cell, book: Workbook): void {
  const { columns, numbers } = draft;
  if (numbers.length === 0) numbers.push(1);
  const { text, kind } = cellText(cell, book);
  if (text.trim() === '') return;
  while (columns.length <= cell.column) columns.push(textColumn());
  columns[cell.column]?.set(numbers.length - 1, text, kind);
  if (cell.formula && kind !== cellKind.unsaved) columns[cell.column]?.countFormula();
  draft.filled++;
}

/** Reads one sheet; `enough` filled cells end the reading, to see only whether there is anything. */
function readSheet(
  zip: Zip,
  sheet: Sheet,
  book: Workbook,
  enough = Infinity,
): SheetGrid | XmlRefusal {
  const draft: SheetDraft = { columns: [], numbers: [], merges: [], hidden: 0, filled: 0 };
  const { columns, numbers, merges } = draft;
  let cell: Cell | undefined;
  let nextColumn = 0;
  let capture = false;
  const refusal = readXml(zip, sheet.part, {
    open(name, attributes) {
      if (name === 'row') {
        if (draft.filled > enough) throw new XmlStop('stopped');
        startRow(draft, attributes);
        nextColumn = 0;
      } else if (name === 'c') {
        cell = startCell(attributes, nextColumn);
        nextColumn = cell.column + 1;
      } else if (name === 'f' && cell) cell.formula = true;
      else if (name === 'v' || (name === 't' && cell?.type === 'inlineStr')) capture = true;
      else if (name === 'mergeCell' && merges.length < 10_000) merges.push(attributes['ref'] ?? '');
    },
    text(piece) {
      if (capture && cell && cell.value.length < limits.cellLength) cell.value += piece;
    },
    close(name) {
      if (name === 'v' || name === 't') capture = false;
      else if (name === 'c' && cell) {
        keepCell(draft, cell, book);
        cell = undefined;
      }
    },
  });
  if (refusal !== undefined && refusal !== 'stopped') return refusal;
  if (numbers.length * columns.length > limits.cells) return 'too-many-cells';
  fillMerged(merges, columns, numbers);
  return {
    rows: numbers.length,
    columns: columns.map((c) => c.finish(numbers.length)),
    rowNumbers: Int32Array.from(numbers),
    hidden: draft.hidden,
    filled: draft.filled,
  };
}

/** Cells merged downwards all say what the top one says. Across, only the first one speaks. */
function fillMerged(
  merges: readonly string[],
  columns: readonly TextColumn[],
  numbers: readonly number[],
): void {
  const rowOf = new Map(numbers.map((number, row) => [number, row]));
  let budget: number = limits.mergedCells;
  for (const reference of merges) {
    const parts = /^\$?([A-Z]{1,3})\$?(\d{1,7}):\$?([A-Z]{1,3})\$?(\d{1,7})$/.exec(reference);
    if (!parts) continue;
    const column = columns[columnOf(parts[1] ?? '')];
    const top = Number(parts[2]);
    const from = rowOf.get(top);
    if (column === undefined || from === undefined || parts[1] !== parts[3]) continue;
    for (let number = top + 1; number <= Number(parts[4]) && budget-- > 0; number++) {
      const row = rowOf.get(number);
      if (row !== undefined) column.copy(from, row);
    }
  }
}

/** Reads an XLSX workbook: the named sheet, or else the first that holds rows. */
export function readXlsx(
  bytes: Uint8Array,
  file: string,
  wanted?: string,
): { readonly table?: Table; readonly problems: Problem[] } {
  const zip = openZip(bytes);
  if (typeof zip === 'string') return { problems: [say(zip, { file })] };
  if (!zip.names.includes('xl/workbook.xml'))
    return { problems: [say('zip-no-workbook', { file })] };
  const book = readWorkbook(zip);
  if (typeof book === 'string') return { problems: [refusalProblem(book, file)] };
  if (wanted !== undefined && !book.sheets.some((s) => s.name === wanted)) {
    return { problems: [say('no-such-sheet', { file }, wanted)] };
  }
  let found: { table?: Table; problems: Problem[] } | undefined;
  const withData: string[] = [];
  for (const sheet of book.sheets) {
    if (wanted !== undefined && sheet.name !== wanted) continue;
    const grid = readSheet(zip, sheet, book, found?.table ? 2 : undefined);
    if (typeof grid === 'string') {
      if (found?.table) continue;
      return { problems: [refusalProblem(grid, file)] };
    }
    if (grid.filled > 1) withData.push(sheet.name);
    if (found?.table) continue;
    const result = tableFromGrid(grid, file);
    const hidden =
      grid.hidden > 0 && result.table ? [say('hidden-rows', { file }, grid.hidden)] : [];
    const problems = [...result.problems, ...hidden];
    found = result.table
      ? { table: { ...result.table, sheet: sheet.name }, problems }
      : { problems };
  }
  if (!found?.table) return found ?? { problems: [say('no-table', { file })] };
  if (withData.length < 2) return found;
  const asked = say('several-sheets', { file }, found.table.sheet ?? '', withData);
  return { table: { ...found.table, sheets: withData }, problems: [asked, ...found.problems] };
}

const refusalProblem = (refusal: XmlRefusal, file: string): Problem => {
  if (refusal === 'too-many-columns') return say('too-many-columns', { file }, limits.columns);
  if (refusal === 'too-many-rows') return say('too-many-rows', { file }, limits.rows);
  if (refusal === 'too-many-cells') return say('too-many-cells', { file });
  return say(refusal === 'stopped' ? 'xml-broken' : refusal, { file });
};
