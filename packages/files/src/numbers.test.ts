import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DecimalMark, reading, readNumbers } from './numbers';
import { readTable } from './readtable';
import type { Column } from './table';

const column = (cells: readonly string[]): Column => {
  const text = `y;x\n${cells.map((c) => `"${c}";k`).join('\n')}`;
  const found = readTable(new TextEncoder().encode(text), 'y.csv').table?.columns[0];
  if (!found) throw new Error('no column');
  return found;
};

const read = (cells: readonly string[], answer?: DecimalMark) => {
  const c = column(cells);
  const { numbers, readings, decimal } = readNumbers(c, answer);
  const names = Object.keys(reading);
  const values = cells.map((_, row) => {
    const code = c.codes[row];
    return readings[code] === reading.number ? numbers[code] : names[readings[code]];
  });
  return { values, decimal };
};

describe('numbers of a column', () => {
  it('decides the decimal mark once for the column', () => {
    expect(read(['3,5', '12', '1,234']).values).toEqual([3.5, 12, 1.234]);
    expect(read(['3.5', '12', '1,234']).values).toEqual([3.5, 12, 1234]);
    expect(read(['1.234,5', '1.234']).values).toEqual([1234.5, 1234]);
    expect(read(['1,234.5', '1,234,567', '2']).values).toEqual([1234.5, 1234567, 2]);
  });

  it('asks rather than reading "1,234" one way or the other', () => {
    expect(read(['1,234', '2,500', '7'])).toEqual({
      values: ['ambiguous', 'ambiguous', 7],
      decimal: 'undecided',
    });
    expect(read(['1,234', '7'], 'comma').values).toEqual([1.234, 7]);
    expect(read(['1,234', '7'], 'point').values).toEqual([1234, 7]);
    expect(read(['0,125', '1,234']).values).toEqual([0.125, 1.234]);
  });

  it('finds the cell written with the other mark', () => {
    expect(read(['3,5', '4,5', '5.5']).values).toEqual([3.5, 4.5, 'otherMark']);
    expect(read(['3.5', '4.25', '5,5']).values).toEqual([3.5, 4.25, 'otherMark']);
  });

  it('reads signs, percent, exponents and thousands parted by spaces or apostrophes', () => {
    expect(read(['45 %', '-2', '−3', '+4', '1.5e3', '1 234', "1'234'567.5"]).values).toEqual([
      45, -2, -3, 4, 1500, 1234, 1234567.5,
    ]);
  });

  it('knows blanks and the words for "not scored" from text and from slips', () => {
    const blank = ['', '-', 'NA', 'n/a', '.', 'missing', 'NaN', '*'];
    expect(new Set(read([...blank, '1']).values.slice(0, -1))).toEqual(new Set(['notScored']));
    const slips = [
      'o',
      '12 leaves',
      '<5',
      '1.2.3',
      '3-4',
      'Infinity',
      '0x10',
      'none',
      '1,2,3',
      '1e',
      '--1',
    ];
    expect(new Set(read([...slips, '1']).values.slice(0, -1))).toEqual(new Set(['text']));
  });

  it('reads back any number that JavaScript writes', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e15, max: 1e15 }), {
          minLength: 1,
          maxLength: 8,
        }),
        (list) => {
          const plain = list.map((n) => (Object.is(n, -0) ? 0 : n));
          // One number that settles the mark.
          expect(read([...plain.map(String), '0.5']).values.slice(0, -1)).toEqual(plain);
        },
      ),
      { numRuns: 300, seed: 4 },
    );
  });
});
