import { describe, expect, it } from 'vitest';
import { type Made, makeWorkbook, workbookParts, zipParts } from '../gallery/makeworkbook';
import { readTable } from './readtable';
import type { Table } from './table';

const read = (bytes: Uint8Array, sheet?: string) => readTable(bytes, 'scores.xlsx', sheet);
const rowsOf = (table: Table | undefined): string[][] =>
  table
    ? Array.from({ length: table.rows }, (_, r) => table.columns.map((c) => c.values[c.codes[r]]))
    : [];
const one = (rows: readonly (readonly Made[])[], merges: readonly string[] = []) => [
  { name: 'S', rows, merges },
];
const codes = (result: ReturnType<typeof read>): string[] => result.problems.map((p) => p.code);

describe('workbooks', () => {
  it('reads shared and inline strings, numbers, percent, truth and errors', () => {
    const { table } = read(
      makeWorkbook(
        one([
          [{ shared: 'treatment' }, 'y', 'severity'],
          [{ shared: 'milk & water' }, 3.25, { percent: 0.45 }],
          ['none', 1234, { percent: 0.07 }],
          ['none', { error: '#DIV/0!' }, 12],
        ]),
      ),
    );
    expect(table?.columns.map((c) => c.name)).toEqual(['treatment', 'y', 'severity']);
    expect(rowsOf(table)).toEqual([
      ['milk & water', '3.25', '45%'],
      ['none', '1234', '7%'],
      ['none', '#DIV/0!', '12'],
    ]);
  });

  it('reads dates by their format in both date systems', () => {
    const rows: Made[][] = [
      ['date', 'n'],
      [{ date: 46_146 }, 46_146],
      [{ date: 61 }, 1],
    ];
    expect(rowsOf(read(makeWorkbook(one(rows))).table)).toEqual([
      ['2026-05-04', '46146'],
      ['1900-03-01', '1'],
    ]);
    const late: Made[][] = [
      ['date', 'n'],
      [{ date: 44_684 }, 1],
    ];
    expect(rowsOf(read(makeWorkbook(one(late), true)).table)).toEqual([['2026-05-04', '1']]);
  });

  it('uses the saved value of a formula, says so, and keeps an unsaved one as a fault', () => {
    const { table, problems } = read(
      makeWorkbook(
        one([
          ['plot', 'y'],
          [1, { formula: 'A2*2', value: 2 }],
          [2, { formula: 'A3*2' }],
        ]),
      ),
    );
    expect(rowsOf(table)[0]).toEqual(['1', '2']);
    expect(problems.map((p) => [p.code, p.column])).toEqual([['formulas', 'y']]);
    expect(table?.columns[1]?.kinds[table.columns[1].codes[1]]).toBe(4);
  });

  it('skips merged titles, numbers rows as the sheet does, and fills merged blocks downwards', () => {
    const { table, problems } = read(
      makeWorkbook(
        one(
          [
            ['Kale 2026', null, null],
            [null, null, null],
            ['block', 'treatment', 'y'],
            ['A', 'none', 1],
            [null, 'milk', 2],
            [null, null, null],
            ['B', 'none', 3],
          ],
          ['A1:C1', 'A4:A5'],
        ),
      ),
    );
    expect(table?.headingRow).toBe(3);
    expect([...(table?.rowNumbers ?? [])]).toEqual([4, 5, 7]);
    expect(rowsOf(table)).toEqual([
      ['A', 'none', '1'],
      ['A', 'milk', '2'],
      ['B', 'none', '3'],
    ]);
    expect(problems.map((p) => p.code).sort()).toEqual(['empty-rows', 'title-rows']);
  });

  it('joins two rows of headings', () => {
    const { table } = read(
      makeWorkbook(
        one(
          [
            [null, null, 'week 1', null, 'week 2', null],
            ['plot', 'treatment', 'diseased', 'leaves', 'diseased', 'leaves'],
            [1, 'none', 2, 10, 3, 11],
            [2, 'milk', 1, 10, 2, 11],
          ],
          ['C1:D1', 'E1:F1'],
        ),
      ),
    );
    expect(table?.columns.map((c) => c.name)).toEqual([
      'plot',
      'treatment',
      'week 1 diseased',
      'week 1 leaves',
      'week 2 diseased',
      'week 2 leaves',
    ]);
  });

  it('takes the first visible sheet with data and asks which where there are several', () => {
    const data: Made[][] = [
      ['treatment', 'y'],
      ['a', 1],
    ];
    const book = makeWorkbook([
      { name: 'Cover', rows: [] },
      {
        name: 'Old',
        rows: [
          ['treatment', 'y'],
          ['z', 9],
        ],
        hidden: true,
      },
      { name: 'May', rows: data },
      {
        name: 'June',
        rows: [
          ['treatment', 'y'],
          ['b', 2],
        ],
      },
    ]);
    const first = read(book);
    expect(first.table?.sheet).toBe('May');
    expect(first.table?.sheets).toEqual(['May', 'June']);
    expect(codes(first)).toEqual(['several-sheets']);
    expect(rowsOf(read(book, 'June').table)).toEqual([['b', '2']]);
    expect(codes(read(book, 'July'))).toEqual(['no-such-sheet']);
  });
});

describe('hostile workbooks', () => {
  const parts = workbookParts(
    one([
      ['treatment', 'y'],
      ['a', 1],
    ]),
  );
  const sheet = 'xl/worksheets/sheet1.xml';
  const withSheet = (xml: string): Uint8Array => zipParts({ ...parts, [sheet]: xml });

  it('refuses a document type before an entity can be used', () => {
    const lol = `<!DOCTYPE x [<!ENTITY a "lol">${Array.from({ length: 9 }, (_, i) => `<!ENTITY a${i} "&a;&a;&a;">`).join('')}]>`;
    expect(
      codes(
        read(
          withSheet(
            `${lol}<worksheet><sheetData><row><c><v>&a8;</v></c></row></sheetData></worksheet>`,
          ),
        ),
      ),
    ).toEqual(['xml-doctype']);
  });

  it('refuses deep nesting, XML that is none, and an unknown entity', () => {
    expect(codes(read(withSheet('<a>'.repeat(100_000))))).toEqual(['xml-deep']);
    expect(codes(read(withSheet('<worksheet><sheetData><row></sheetData>')))).toEqual([
      'xml-broken',
    ]);
    expect(codes(read(withSheet('<worksheet>&nope;</worksheet>')))).toEqual(['xml-broken']);
  });

  it('refuses a column beyond the limit and is not fooled by row numbers', () => {
    expect(
      codes(
        read(
          withSheet(
            '<worksheet><sheetData><row r="1"><c r="XFD1"><v>1</v></c></row></sheetData></worksheet>',
          ),
        ),
      ),
    ).toEqual(['too-many-columns']);
    const odd =
      '<worksheet><sheetData><row r="999999999"><c r="A1" t="inlineStr"><is><t>h</t></is></c><c t="inlineStr"><is><t>y</t></is></c></row><row r="-4"><c><v>1</v></c><c><v>2</v></c></row></sheetData><mergeCells><mergeCell ref="A1:A9999999"/></mergeCells></worksheet>';
    expect([...(read(withSheet(odd)).table?.rowNumbers ?? [])]).toEqual([2]);
  });

  it('says what a zip without a workbook, an old workbook and a PDF are', () => {
    expect(codes(read(zipParts({ 'a.txt': 'x' })))).toEqual(['zip-no-workbook']);
    expect(codes(read(Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 1, 2)))).toEqual(['old-workbook']);
    expect(codes(read(new TextEncoder().encode('%PDF-1.7')))).toEqual(['is-pdf']);
    expect(codes(read(new Uint8Array(0)))).toEqual(['empty-file']);
  });
});
