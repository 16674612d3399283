// Five bad sheets of our own, each with two faults, and files that mean harm, on the command line.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { inRepository } from '../test/judging';
import { checkCommand } from './check';
import { judgeCommand } from './judge';

type Fault = {
  readonly row: number | null;
  readonly column: string | null;
  readonly what: string;
  readonly do: string;
};
type Checked = {
  readonly faults: readonly Fault[];
  readonly rows: { readonly read: number; readonly used: number; readonly set_aside: number };
};

const bad = (name: string): string => inRepository(`packages/files/oracle/bad/${name}`);

const sheets = [
  [
    '1-impossible-counts.csv',
    [
      [14, 'diseased', '19 leaves are diseased'],
      [30, 'leaves', 'below zero'],
    ],
  ],
  [
    '2-twice-and-misspelt.csv',
    [
      [10, null, 'row 12'],
      [21, 'Behandlung', 'one treatment spelt two ways'],
    ],
  ],
  [
    '3-words-and-open-dates.csv',
    [
      [10, 'severity', 'lots'],
      [4, 'date', 'month first'],
    ],
  ],
  [
    '4-wide-over-100-and-mean-row.tsv',
    [
      [6, 'severity week 3', '420'],
      [11, 'treatment', 'Mean'],
    ],
  ],
  [
    '5-formula-and-swapped-plot.xlsx',
    [
      [9, 'diseased', 'formula'],
      [8, null, 'Plot "6"'],
    ],
  ],
] as const;

describe.each(sheets)('%s', (name, faults) => {
  it('check names both faults with row and column, and what to do, and exits 1', () => {
    const { out, status } = checkCommand(bad(name), { json: true });
    const { faults: found, rows } = JSON.parse(out) as Checked;
    expect(status).toBe(1);
    expect(rows.used + rows.set_aside).toBe(rows.read);
    for (const [row, column, what] of faults) {
      const fault = found.find((one) => one.row === row && one.column === column);
      expect(fault?.what, `${row} ${column ?? ''}`).toContain(what);
      expect(fault?.do).not.toBe('');
    }
  });

  it('judge goes on with the rest, says what it set aside, and exits 1 or, where that is accepted, 0', () => {
    const { out, err, status } = judgeCommand(bad(name), { json: true });
    expect(status).toBe(1);
    expect(judgeCommand(bad(name), { json: true, acceptSetAside: true }).status).toBe(0);
    const { verdict } = JSON.parse(out) as { verdict: { cautions: string[]; grade: string } };
    for (const [row] of faults) {
      expect(verdict.cautions.join('\n')).toContain(`row ${row}`);
      expect(err).toContain(`row ${row}`);
    }
  });
});

describe('files that mean harm', () => {
  const folder = mkdtempSync(join(tmpdir(), 'fairbed-harm-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  const file = (name: string, content: string | Uint8Array): string => {
    const path = join(folder, name);
    writeFileSync(path, content);
    return path;
  };

  it.each([
    ['a broken zip', 'broken.xlsx', new Uint8Array([0x50, 0x4b, 3, 4, 9, 9, 9, 9])],
    [
      'bytes that are no text',
      'noise.csv',
      Uint8Array.from({ length: 999 }, (_, i) => (i * 37) % 256),
    ],
    ['an empty file', 'empty.csv', ''],
    ['a trial nested too deep', 'deep.json', `${'['.repeat(50_000)}${']'.repeat(50_000)}`],
    [
      'a trial with a prototype key',
      'proto.json',
      '{"format":"fairbed-trial","version":1,"__proto__":{"x":1}}',
    ],
  ])('%s is refused with a sentence', (_what, name, content) => {
    const path = file(name, content);
    const { out, err, status } = judgeCommand(path, {});
    expect(status).toBe(1);
    expect(out).toBe('');
    expect(err).toContain(name);
    expect(({} as { x?: number }).x).toBeUndefined();
  });

  it('prototype keys as headings and names are ordinary words', () => {
    const rows = ['B1', 'B2', 'B3'].flatMap((b) =>
      ['constructor', 'toString'].map((t, i) => `${b},${t},${i + b.length}`),
    );
    const path = file('words.csv', ['__proto__,hasOwnProperty,valueOf', ...rows].join('\n'));
    const { out, status } = judgeCommand(path, {
      block: '__proto__',
      treatment: 'hasOwnProperty',
      value: 'valueOf',
      control: 'constructor',
      json: true,
    });
    expect(status).toBe(0);
    expect((JSON.parse(out) as { design: { treatments: number } }).design.treatments).toBe(2);
  });

  it('a file too large to be a score sheet is refused before it is read through', () => {
    const { err, status } = judgeCommand(
      file('huge.csv', new Uint8Array(60 * 1024 * 1024).fill(65)),
      {},
    );
    expect(status).toBe(1);
    expect(err).toMatch(/MB/);
  });

  it('a file that is not there is a sentence', () => {
    expect(() => judgeCommand(join(folder, 'nowhere.csv'), {})).toThrow('can’t be opened');
  });
});
