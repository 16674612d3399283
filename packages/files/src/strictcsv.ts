/** Rows of cells as they were written, or the row (counted from 1) in which the text breaks off. */
export type StrictCsv =
  | { readonly rows: readonly (readonly string[])[] }
  | { readonly brokenIn: number };

/**
 * Cuts comma-separated text into rows exactly as RFC 4180 has it: nothing is trimmed, guessed or
 * mended, so that what was written comes back to the letter. Lines end in CRLF or LF; a quotation
 * mark stands only round a whole cell, doubled inside it. A last line without an end is a broken
 * one: our own writer ends every line, so there the text was cut.
 */
export function readStrictCsv(text: string): StrictCsv {
  const rows: string[][] = [];
  let row: string[] = [];
  let at = 0;
  while (at < text.length) {
    const cell = text[at] === '"' ? quotedCell(text, at + 1) : plainCell(text, at);
    if (cell === undefined) return { brokenIn: rows.length + 1 };
    row.push(cell.text);
    at = cell.next;
    if (text[at] === ',') {
      at++;
      continue;
    }
    const end = lineEnd(text, at);
    if (end === 0) return { brokenIn: rows.length + 1 };
    rows.push(row);
    row = [];
    at += end;
  }
  return row.length > 0 ? { brokenIn: rows.length + 1 } : { rows };
}

type Cell = { readonly text: string; readonly next: number };

const lineEnd = (text: string, at: number): number =>
  text[at] === '\n' ? 1 : text[at] === '\r' && text[at + 1] === '\n' ? 2 : 0;

const special = /[",\r\n]/g;

function plainCell(text: string, from: number): Cell | undefined {
  special.lastIndex = from;
  const found = special.exec(text);
  if (found === null || found[0] === '"') return undefined;
  return { text: text.slice(from, found.index), next: found.index };
}

function quotedCell(text: string, from: number): Cell | undefined {
  let close = text.indexOf('"', from);
  let doubled = false;
  while (close >= 0 && text[close + 1] === '"') {
    doubled = true;
    close = text.indexOf('"', close + 2);
  }
  if (close < 0) return undefined;
  const raw = text.slice(from, close);
  return { text: doubled ? raw.replaceAll('""', '"') : raw, next: close + 1 };
}
