import type { Problem } from '@fairbed/field';
import { strFromU8 } from 'fflate';
import { csvCell } from './csvout';
import { limits } from './limits';
import { say } from './say';
import { readStrictCsv } from './strictcsv';
import { isUtf8 } from './text';

/**
 * One entry of a trial's ledger as a package carries it: who wrote what about which thing, when,
 * and the ids of the entries it replaced. `value` is JSON. Any number but NaN and the infinities
 * comes back as it was, -0 included.
 */
export type LedgerEntry = {
  readonly id: string;
  readonly clock: string;
  readonly at?: number;
  readonly who: string;
  readonly kind: string;
  readonly thing: string;
  readonly value: unknown;
  readonly replaces: readonly string[];
};

const apostrophe = "a text that begins with one of ' = + - @ has a further apostrophe in front";

/** Columns of entries.csv, in order, with their types of the table schema. */
export const ledgerFields = [
  { name: 'id', type: 'string', about: 'writer and running number' },
  { name: 'clock', type: 'string', about: 'sorts entries in the order in which they were written' },
  { name: 'at', type: 'integer', about: "the device's own clock, ms since 1970, where it differs" },
  { name: 'who', type: 'string', about: `name given on the device; ${apostrophe}` },
  { name: 'kind', type: 'string' },
  { name: 'thing', type: 'string', about: 'what the entry is about, within its kind' },
  { name: 'value', type: 'string', about: `JSON; null where taken back; ${apostrophe}` },
  { name: 'replaces', type: 'string', about: 'JSON list of the ids that stood before this entry' },
] as const;

const headings = ledgerFields.map((f) => f.name);

/**
 * entries.csv: the ledger in clock order (then by id), so that the same set of entries gives the
 * same text whatever order it came in.
 */
export function ledgerText(entries: readonly LedgerEntry[]): string {
  const lines = [...entries]
    .sort(byClock)
    .map((e) =>
      [
        textCell(e.id),
        textCell(e.clock),
        e.at === undefined ? '' : String(e.at),
        textCell(e.who),
        textCell(e.kind),
        textCell(e.thing),
        textCell(jsonText(e.value)),
        textCell(jsonText(e.replaces)),
      ].join(','),
    );
  return [headings.join(','), ...lines].map((line) => `${line}\r\n`).join('');
}

const order = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
const byClock = (a: LedgerEntry, b: LedgerEntry): number =>
  order(a.clock, b.clock) || order(a.id, b.id);

const halfSign = /\p{Surrogate}/u;

/**
 * A text that a spreadsheet would run, or that begins with an apostrophe itself, gets one in front,
 * so that taking one away gives the text back. Half of a two-part sign (a name cut in the middle of
 * an emoji) has no UTF-8: such a text is written as '\ and JSON, which escapes it.
 */
function textCell(text: string): string {
  if (halfSign.test(text)) return csvCell(`'\\${JSON.stringify(text)}`);
  return csvCell(text.startsWith("'") ? `'${text}` : text);
}

function cellText(cell: string): string | undefined {
  if (!cell.startsWith("'")) return cell;
  if (!cell.startsWith("'\\")) return cell.slice(1);
  const text = parsed(cell.slice(2));
  return typeof text === 'string' ? text : undefined;
}

/** JSON text; the one number that JSON.stringify loses, -0, is kept. */
function jsonText(value: unknown): string {
  if (Object.is(value, -0)) return '-0';
  if (Array.isArray(value)) return `[${value.map(jsonText).join(',')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const pairs = Object.entries(value).filter(([, v]) => v !== undefined);
  return `{${pairs.map(([k, v]) => `${JSON.stringify(k)}:${jsonText(v)}`).join(',')}}`;
}

/** The value of JSON text; undefined where it is none. */
function parsed(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return undefined;
  }
}

const deepest = 32;
const forbidden = new Set(['__proto__', 'constructor', 'prototype']);

/** Nested beyond sense, or with a key that reaches an object's prototype. */
function isHostile(value: unknown, depth = 0): boolean {
  if (typeof value !== 'object' || value === null) return false;
  if (depth >= deepest) return true;
  return Object.entries(value).some(([k, v]) => forbidden.has(k) || isHostile(v, depth + 1));
}

export type ReadLedger = {
  readonly entries: readonly LedgerEntry[];
  readonly problems: readonly Problem[];
};

/**
 * The entries of an entries.csv in the order of its rows, or every row that is wrong (the first
 * `limits.listedEntries` of them). `file` is what problems call it. With any problem there are no
 * entries: a ledger is taken whole or not at all.
 */
export function readLedger(bytes: Uint8Array, file: string): ReadLedger {
  const refused = (problem: Problem): ReadLedger => ({ entries: [], problems: [problem] });
  if (!isUtf8(bytes)) return refused(say('entries-not-text', { file }));
  const csv = readStrictCsv(strFromU8(bytes));
  if ('brokenIn' in csv) return refused(say('entries-cut', { file, row: csv.brokenIn }));
  const [head, ...rows] = csv.rows;
  if (head?.join() !== headings.join()) {
    return refused(say('entries-headings', { file, row: 1 }, headings));
  }
  if (rows.length > limits.rows) return refused(say('too-many-rows', { file }, limits.rows));
  const entries: LedgerEntry[] = [];
  const problems: Problem[] = [];
  const seen = new Set<string>();
  rows.forEach((cells, i) => {
    if (problems.length >= limits.listedEntries) return;
    const where = { file, row: i + 2 };
    const entry = readRow(cells);
    if ('wrong' in entry) {
      const { wrong } = entry;
      problems.push(
        wrong === undefined
          ? say('entries-cells', where, cells.length, headings.length)
          : say('entries-cell', { ...where, column: wrong }, cells[headings.indexOf(wrong)] ?? ''),
      );
    } else if (seen.has(entry.id)) problems.push(say('entries-twice', where, entry.id));
    else {
      seen.add(entry.id);
      entries.push(entry);
    }
  });
  return problems.length > 0 ? { entries: [], problems } : { entries, problems };
}

type Wrong = { readonly wrong: (typeof headings)[number] | undefined };

function readRow(cells: readonly string[]): LedgerEntry | Wrong {
  if (cells.length !== headings.length) return { wrong: undefined };
  const [id, clock, at, who, kind, thing, value, replaces] = cells.map(cellText);
  if (!isId(id)) return { wrong: 'id' };
  if (clock === undefined || !clockForm.test(clock)) return { wrong: 'clock' };
  if (at === undefined || !/^$|^(0|-?[1-9]\d{0,15})$/.test(at)) return { wrong: 'at' };
  if (who === undefined) return { wrong: 'who' };
  if (!isName(kind)) return { wrong: 'kind' };
  if (!isName(thing)) return { wrong: 'thing' };
  const said = value === undefined ? undefined : parsed(value);
  if (said === undefined || isHostile(said)) return { wrong: 'value' };
  const ids = replaces === undefined ? undefined : parsed(replaces);
  if (!Array.isArray(ids) || !ids.every(isId)) return { wrong: 'replaces' };
  const time = at === '' ? {} : { at: Number(at) };
  return { id, clock, ...time, who, kind, thing, value: said, replaces: ids };
}

const idForm = /^[0-9A-Za-z_-]{1,40}\.[1-9a-z][0-9a-z]{0,8}$/;
/** Milliseconds in nine digits of base 36, a counter in four, the writer (docs/data-package.md). */
const clockForm = /^[0-9a-z]{13}-[0-9A-Za-z_-]{1,40}$/;

const isId = (text: unknown): text is string => typeof text === 'string' && idForm.test(text);
const isName = (text: unknown): text is string => typeof text === 'string' && text !== '';
