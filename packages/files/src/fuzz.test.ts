import { readTrial } from '@fairbed/trial';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makeWorkbook } from '../gallery/makeworkbook';
import { checkFile } from './check';
import { csvText } from './csvout';
import { packageToTrial } from './openpackage';
import { guessMapping } from './guess';
import { readTable } from './readtable';
import { tableToTrial } from './totrial';

const cell = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.constantFrom(
      '1',
      '2',
      '3',
      'A',
      'B',
      'untreated',
      '0',
      '12',
      '2026-05-04',
      '4/5/2026',
      '14/5/2026',
    ),
  },
  {
    weight: 2,
    arbitrary: fc.constantFrom(
      '',
      '-',
      'NA',
      '1,234',
      '3,5',
      '101',
      '-4',
      'Total',
      'A ',
      'a',
      '=1+1',
      '__proto__',
      '#N/A',
      '45 %',
      '1e3',
      'week 2',
    ),
  },
  { weight: 1, arbitrary: fc.string({ unit: 'grapheme', maxLength: 12 }) },
);
const heading = fc.constantFrom(
  'treatment',
  'block',
  'plot',
  'plant',
  'date',
  'round',
  'diseased',
  'leaves',
  'severity',
  'grade',
  'value',
  'stripped',
  'lost',
  'row',
  'column',
  'days to',
  'happened',
  'baseline',
  'note',
  'week 1',
  'week 2',
  '2026-05-04',
  'plant 1',
  'plant 2',
  '__proto__',
  'constructor',
  '',
  'heading date',
  'bbch',
);
const sheet = fc.integer({ min: 1, max: 8 }).chain((width) =>
  fc.record({
    headings: fc.array(heading, { minLength: width, maxLength: width }),
    rows: fc.array(fc.array(cell, { minLength: width, maxLength: width }), { maxLength: 14 }),
  }),
);

/** Whatever the sheet: no throw, every row accounted for, and a document that is well-formed. */
function accounted(bytes: Uint8Array, name: string): void {
  const { table } = readTable(bytes, name);
  checkFile(bytes, name);
  if (!table) return;
  const { mapping } = guessMapping(table);
  for (const options of [{}, { gradeClasses: [0, 1, 2, 3], healthyGrade: 0, control: 'A' }]) {
    for (const more of [
      {},
      { decimal: 'comma', dateOrder: 'dmy', year: 2026, firstDay: '2026-05-01' } as const,
    ]) {
      const { trial, rows, faults } = tableToTrial(table, { ...mapping, ...more }, options);
      expect(rows.used + rows.set_aside).toBe(table.rows);
      expect(rows.read).toBe(table.rows);
      if (rows.set_aside > 0) expect(faults.some((p) => p.kind !== 'note')).toBe(true);
      const valid = readTrial(trial);
      expect(valid.ok ? [] : valid.problems).toEqual([]);
    }
  }
}

describe('whatever comes', () => {
  it('accounts for every row of any text sheet', () => {
    fc.assert(
      fc.property(sheet, ({ headings, rows }) => {
        accounted(new TextEncoder().encode(csvText(headings, rows)), 'any.csv');
      }),
      { numRuns: 800, seed: 8 },
    );
  });

  it('accounts for every row of any workbook', () => {
    fc.assert(
      fc.property(sheet, fc.boolean(), ({ headings, rows }, date1904) => {
        const made = rows.map((row) =>
          row.map((c) =>
            /^\d+$/.test(c)
              ? Number(c)
              : c === 'A '
                ? { formula: 'A1' }
                : c === '1e3'
                  ? { date: 46_146 }
                  : c.replace(/[^\x20-\ud7ff]/g, ''),
          ),
        );
        accounted(makeWorkbook([{ name: 'S', rows: [headings, ...made] }], date1904), 'any.xlsx');
      }),
      { numRuns: 200, seed: 9 },
    );
  });

  it('never throws on random bytes, alone or after the first bytes of a zip, or a bent workbook', () => {
    const whole = makeWorkbook([
      {
        name: 'S',
        rows: [
          ['treatment', 'y'],
          ['a', 1],
          ['b', 2],
        ],
      },
    ]);
    fc.assert(
      fc.property(
        fc.uint8Array({ maxLength: 300 }),
        fc.nat(whole.length - 1),
        fc.nat(255),
        (bytes, at, value) => {
          const bent = whole.slice();
          bent[at] = value;
          for (const file of [
            bytes,
            Uint8Array.of(0x50, 0x4b, 3, 4, ...bytes),
            bent,
            whole.subarray(0, at),
          ]) {
            accounted(file, 'any');
            expect(Array.isArray(packageToTrial(file).problems)).toBe(true);
          }
        },
      ),
      { numRuns: 500, seed: 10 },
    );
  });
});
