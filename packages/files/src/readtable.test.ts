import { describe, expect, it } from 'vitest';
import { mappingKey } from './mapping';
import { readTable } from './readtable';
import type { Table } from './table';

const read = (text: string, name = 'scores.csv') => readTable(new TextEncoder().encode(text), name);
const codes = (text: string): string[] => read(text).problems.map((p) => p.code);
const tableOf = (text: string): Table => {
  const { table } = read(text);
  if (!table) throw new Error('no table');
  return table;
};
const rowsOf = (t: Table): string[][] =>
  Array.from({ length: t.rows }, (_, r) => t.columns.map((c) => c.values[c.codes[r]]));

describe('reading a table', () => {
  it('counts rows as the spreadsheet shows them, over titles and empty rows', () => {
    const t = tableOf('Kale 2026,,\n,,\nplot,treatment,y\n1,none,3\n,,\n2,milk,4\n,,\n');
    expect(t.headingRow).toBe(3);
    expect([...t.rowNumbers]).toEqual([4, 6]);
    expect(t.emptyRows).toBe(1);
    expect(rowsOf(t)).toEqual([
      ['1', 'none', '3'],
      ['2', 'milk', '4'],
    ]);
    expect(codes('Kale 2026,,\nplot,treatment,y\n1,none,3\n,,\n2,milk,4\n')).toEqual([
      'title-rows',
      'empty-rows',
    ]);
  });

  it('keeps ragged rows and columns without or with the same heading', () => {
    const t = tableOf('plot,y,y,\n1,2,3,4\n2,5\n');
    expect(t.columns.map((c) => c.name)).toEqual(['plot', 'y', 'y (C)', 'column D']);
    expect(rowsOf(t)).toEqual([
      ['1', '2', '3', '4'],
      ['2', '5', '', ''],
    ]);
    expect(codes('plot,y,y,\n1,2,3,4\n2,5\n')).toEqual(['heading-twice', 'heading-missing']);
  });

  it('drops a column of nothing, and obeys sep=', () => {
    expect(tableOf('a,b,\n1,2,\n').columns.length).toBe(2);
    const t = tableOf('sep=|\na|b\n1|2\n');
    expect(t.headingRow).toBe(1);
    expect(rowsOf(t)).toEqual([['1', '2']]);
  });

  it('says when there are no headings, no rows, no table', () => {
    expect(codes('1,2,3\n4,5,6\n')).toEqual(['no-headings']);
    expect(codes('plot,y\n')).toEqual(['no-rows']);
    expect(codes('\n\n,,\n')).toEqual(['no-table']);
    expect(codes('a,b\n"1,2\n')).toEqual(['quote-not-closed']);
  });

  it('keeps years and dates as headings of a wide sheet', () => {
    expect(tableOf('plot,2015-03-02,2015-03-16\n1,2,3\n').columns.map((c) => c.name)).toEqual([
      'plot',
      '2015-03-02',
      '2015-03-16',
    ]);
  });

  it('takes prototype keys for ordinary headings and cells', () => {
    const t = tableOf('__proto__,constructor,toString\nhasOwnProperty,__proto__,1\n');
    expect(t.columns.map((c) => c.name)).toEqual(['__proto__', 'constructor', 'toString']);
    expect(rowsOf(t)).toEqual([['hasOwnProperty', '__proto__', '1']]);
  });

  it('refuses what is too large or too wide without reading on', () => {
    expect(
      readTable(new Uint8Array(50 * 1024 * 1024 + 1), 'x.csv').problems.map((p) => p.code),
    ).toEqual(['too-large']);
    expect(codes(`${'h,'.repeat(1_000_000)}\n1`)).toEqual(['too-many-columns']);
    expect(codes(`${'h,'.repeat(900)}\n${'1\n'.repeat(30_000)}`)).toEqual(['too-many-cells']);
    expect(codes('a,b\n'.repeat(1_048_577))).toEqual(['too-many-rows']);
  });

  it('gives sheets of the same headings the same key', () => {
    const key = mappingKey(tableOf('Plot,Leaves  standing\n1,2\n'));
    expect(key).toBe(mappingKey(tableOf('plot,leaves standing\n7,8\n')));
    expect(key).not.toBe(mappingKey(tableOf('leaves standing,plot\n7,8\n')));
    expect(key).toMatch(/^[0-9a-f]{16}$/);
  });
});
