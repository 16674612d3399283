import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { guessDelimiter, readDelimited } from './csv';
import type { Grid } from './grid';

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const cells = (text: string, delimiter = ','): string[][] => {
  const grid = readDelimited(utf8(text), delimiter.charCodeAt(0));
  if ('refused' in grid) throw new Error(grid.refused);
  return rowsOf(grid);
};
const rowsOf = (grid: Grid): string[][] =>
  Array.from({ length: grid.rows }, (_, row) =>
    grid.columns.map((c) => c.values[c.codes[row]] ?? ''),
  );

describe('delimited text', () => {
  it('reads the examples of RFC 4180, section 2', () => {
    const plain = [
      ['aaa', 'bbb', 'ccc'],
      ['zzz', 'yyy', 'xxx'],
    ];
    expect(cells('aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n')).toEqual(plain);
    expect(cells('aaa,bbb,ccc\r\nzzz,yyy,xxx')).toEqual(plain);
    expect(cells('"aaa","bbb","ccc"\r\nzzz,yyy,xxx')).toEqual(plain);
    expect(cells('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx')).toEqual([
      ['aaa', 'b\r\nbb', 'ccc'],
      plain[1],
    ]);
    expect(cells('"aaa","b""bb","ccc"')).toEqual([['aaa', 'b"bb', 'ccc']]);
  });

  it('reads CR, LF and CRLF ends, ragged rows and a mark in the middle of a cell', () => {
    expect(cells('a,b\r1\r\n2,3,4\n\n5" pot,x')).toEqual([
      ['a', 'b', ''],
      ['1', '', ''],
      ['2', '3', '4'],
      ['', '', ''],
      ['5" pot', 'x', ''],
    ]);
  });

  it('agrees with another reader on any quoted table', () => {
    const cell = fc.string({
      unit: fc.constantFrom('a', 'B', '1', ',', ';', '"', '\n', '\r', 'é', ' ', '-'),
      maxLength: 6,
    });
    const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), {
      minLength: 1,
      maxLength: 6,
    });
    fc.assert(
      fc.property(table, fc.constantFrom(',', ';', '\t'), (rows, delimiter) => {
        const width = Math.max(...rows.map((r) => r.length));
        const text = Papa.unparse(rows, { delimiter, quotes: true, newline: '\r\n' });
        const other = Papa.parse(text, { delimiter, newline: '\r\n' }).data;
        const padded = other.map((r) =>
          Array.from({ length: width }, (_, i) => (r[i] ?? '').trim()),
        );
        expect(cells(text, delimiter)).toEqual(padded);
      }),
      { numRuns: 500, seed: 3 },
    );
  });

  it('says where a quotation mark is left open, and stops at a row of a million columns', () => {
    expect(readDelimited(utf8('a,b\n1,2\n"3,4\n5,6\n'), 44)).toEqual({
      refused: 'quote-not-closed',
      row: 3,
    });
    expect(readDelimited(utf8(','.repeat(1_000_000)), 44)).toEqual({
      refused: 'too-many-columns',
      row: 1,
    });
  });
});

describe('guessing the delimiter', () => {
  const guess = (text: string): string => String.fromCharCode(guessDelimiter(utf8(text), 44));

  it('takes the semicolon beside decimal commas', () => {
    expect(guess('block;trt;y;z\nB1;A;3,5;2,1\nB1;B;2,5;1,1\nB2;A;3,0;2,7\n')).toBe(';');
  });
  it('takes the tab, the comma, and the comma of one column', () => {
    expect(guess('a\tb\n1,5\t2\n1,6\t3\n')).toBe('\t');
    expect(guess('Trial of 2026\na,b\n1,2\n3,4\n')).toBe(',');
    expect(guess('a\n1\n2\n')).toBe(',');
  });
  it('does not count delimiters inside quotes', () => {
    expect(guess('name,n\n"x;y;z",1\n"p;q;r",2\n')).toBe(',');
  });
});
