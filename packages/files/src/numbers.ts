import { cellKind } from './grid';
import type { Column } from './table';

/** How a cell of a number column reads. */
export const reading = {
  number: 0,
  notScored: 1,
  text: 2,
  ambiguous: 3,
  otherMark: 4,
  unsaved: 5,
} as const;

export type DecimalMark = 'comma' | 'point';

/** A column read as numbers, one entry for each of the column's distinct texts. */
export type NumberColumn = {
  readonly numbers: Float64Array;
  readonly readings: Uint8Array;
  /** The decimal mark the column was read with; `undecided` where its cells leave it open. */
  readonly decimal: DecimalMark | 'none' | 'undecided';
};

const notScoredWords = new Set([
  '',
  '-',
  '--',
  '–',
  '—',
  '.',
  '*',
  '#n/a',
  'na',
  'n/a',
  'n.a.',
  'nan',
  'null',
  'missing',
  'n.d.',
  'nd',
  'not scored',
  'k.a.',
]);

/** True for blanks and the words that stand for "not scored": -, NA, n/a, ., *, missing ... */
export const isNotScored = (text: string): boolean => notScoredWords.has(text.toLowerCase());

type Shape = {
  readonly sign: number;
  readonly digits: string;
  readonly exponent: string;
  readonly percent: boolean;
};

const shaped = /^([-+−]?)\s*(\d[\d.,' \u00a0\u202f]*|[.,]\d+)(e[-+]?\d{1,3})?\s*(%?)$/i;

function shapeOf(text: string): Shape | undefined {
  if (text.length > 40) return undefined;
  const parts = shaped.exec(text);
  if (!parts) return undefined;
  return {
    sign: parts[1] === '-' || parts[1] === '−' ? -1 : 1,
    digits: (parts[2] ?? '').trim(),
    exponent: parts[3] ?? '',
    percent: parts[4] === '%',
  };
}

type Mark = 'whole' | 'comma' | 'point' | 'open-comma' | 'open-point' | 'broken';

const groupedBy = (mark: string, digits: string): boolean => {
  const groups = digits.split(mark);
  return (
    groups.length > 1 &&
    /^\d{1,3}$/.test(groups[0] ?? '') &&
    groups.slice(1).every((g) => /^\d{3}$/.test(g))
  );
};

/** Which decimal mark the digits of one cell betray. "1,234" betrays none. */
function markOf(digits: string): Mark {
  const spaced = digits.replace(/[' \u00a0\u202f]/g, ' ');
  const tight = spaced.replace(/ /g, '');
  if (spaced.includes(' ') && !/^\d{1,3}( \d{3})+([.,]\d*)?$/.test(spaced)) return 'broken';
  const comma = tight.indexOf(',');
  const point = tight.indexOf('.');
  if (comma < 0 && point < 0) return 'whole';
  if (comma >= 0 && point >= 0) {
    const [last, group] = tight.lastIndexOf(',') > tight.lastIndexOf('.') ? [',', '.'] : ['.', ','];
    const [whole = '', ...fraction] = tight.split(last);
    if (fraction.length !== 1 || !groupedBy(group, whole)) return 'broken';
    return last === ',' ? 'comma' : 'point';
  }
  const mark = comma >= 0 ? ',' : '.';
  const parts = tight.split(mark);
  if (parts.length > 2)
    return groupedBy(mark, tight) ? (mark === ',' ? 'point' : 'comma') : 'broken';
  // One mark: grouping is possible only as one to three digits, not a lone zero, then three.
  const couldGroup = groupedBy(mark, tight) && parts[0] !== '0' && !spaced.includes(' ');
  if (couldGroup) return mark === ',' ? 'open-comma' : 'open-point';
  return mark === ',' ? 'comma' : 'point';
}

function valueOf(shape: Shape, decimal: DecimalMark): number {
  const bare = shape.digits.replace(/[' \u00a0\u202f]/g, '');
  const plain =
    decimal === 'comma' ? bare.replace(/\./g, '').replace(',', '.') : bare.replace(/,/g, '');
  return shape.sign * Number(`${plain}${shape.exponent}`);
}

/**
 * The common cell, read without a pattern: digits, or digits with one point that can't be grouping
 * ("12.5", "0.125", "1743.421"). undefined for anything else.
 */
function plainNumber(text: string): { readonly n: number; readonly point: boolean } | undefined {
  let point = -1;
  if (text.length === 0 || text.length > 15) return undefined;
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (c === 46 && point < 0) point = i;
    else if (c < 48 || c > 57) return undefined;
  }
  if (point < 0) return { n: Number(text), point: false };
  const after = text.length - point - 1;
  const grouping = after === 3 && point <= 3 && !(point === 1 && text.startsWith('0'));
  return point === 0 || after === 0 || grouping ? undefined : { n: Number(text), point: true };
}

/**
 * Reads a column's distinct texts as numbers. The decimal mark is decided once for the column: by
 * `answer` if the grower gave one, else by the cells that betray it, the more rows the stronger.
 * A cell against the decision is `otherMark`; where every marked cell could be read both ways
 * ("1,234"), they are `ambiguous`. A lone point ("1.234") is taken for a decimal point unless a
 * comma is the column's decimal mark. Percent signs are dropped. Numbers of a workbook are numbers.
 */
export function readNumbers(column: Column, answer?: DecimalMark): NumberColumn {
  const size = column.values.length;
  const numbers = new Float64Array(size);
  const readings = new Uint8Array(size);
  const open: { code: number; shape: Shape; mark: Mark }[] = [];
  const pointed: number[] = [];
  const weight = { comma: 0, point: 0, openComma: 0 };
  for (let code = 0; code < size; code++) {
    const rows = column.counts[code] as number;
    if (rows === 0) continue;
    const text = column.values[code] as string;
    const kind = column.kinds[code];
    const plain = plainNumber(text);
    if (plain) {
      numbers[code] = plain.n;
      if (plain.point && kind !== cellKind.number) {
        weight.point += rows;
        pointed.push(code);
      }
    } else if (kind === cellKind.unsaved) readings[code] = reading.unsaved;
    else if (isNotScored(text)) readings[code] = reading.notScored;
    else if (kind === cellKind.number) numbers[code] = Number(text.replace('%', ''));
    else {
      const shape = kind === cellKind.text ? shapeOf(text) : undefined;
      const mark = shape ? markOf(shape.digits) : 'broken';
      if (!shape || mark === 'broken') readings[code] = reading.text;
      else {
        open.push({ code, shape, mark });
        if (mark === 'comma') weight.comma += rows;
        else if (mark === 'point') weight.point += rows;
        else if (mark === 'open-comma') weight.openComma += rows;
      }
    }
  }
  const decimal = decide(
    weight,
    answer,
    open.some((o) => o.mark !== 'whole'),
  );
  if (decimal === 'comma') for (const code of pointed) readings[code] = reading.otherMark;
  for (const { code, shape, mark } of open) {
    const against =
      (mark === 'comma' && decimal === 'point') || (mark === 'point' && decimal === 'comma');
    if (against) readings[code] = reading.otherMark;
    else if (mark === 'open-comma' && decimal === 'undecided') readings[code] = reading.ambiguous;
    else numbers[code] = valueOf(shape, decimal === 'comma' ? 'comma' : 'point');
  }
  return { numbers, readings, decimal };
}

function decide(
  weight: { comma: number; point: number; openComma: number },
  answer: DecimalMark | undefined,
  marked: boolean,
): NumberColumn['decimal'] {
  if (answer !== undefined) return answer;
  if (weight.comma > weight.point) return 'comma';
  if (weight.point > 0) return 'point';
  if (weight.openComma > 0) return 'undecided';
  return marked ? 'point' : 'none';
}
