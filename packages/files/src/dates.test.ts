import { describe, expect, it } from 'vitest';
import { type DateAnswers, monthNamed, readDates, readDateText } from './dates';
import { readTable } from './readtable';
import { formatOfCode, serialDay } from './workbook';

const column = (cells: readonly string[], answers?: DateAnswers) => {
  const text = `when;x\n${cells.map((c) => `"${c}";k`).join('\n')}`;
  const found = readTable(new TextEncoder().encode(text), 'd.csv').table?.columns[0];
  if (!found) throw new Error('no column');
  const read = readDates(found, answers);
  return {
    ...read,
    days: cells.map((_, row) => Object.values(read.cells[found.codes[row]] ?? {})[0]),
  };
};

describe('dates', () => {
  it('reads the ordinary forms', () => {
    const forms = [
      '2026-05-04',
      '2026/5/4',
      '20260504',
      '4 May 2026',
      'May 4, 2026',
      '4-May-26',
      '4.5.2026',
      '04.05.26',
      '4. Mai 2026',
      '4 mai 2026',
      '4 de mayo de 2026',
      '4th May 2026',
      'Mon 4 May 2026',
      '2026-05-04T09:30',
      '2026-05-04 09:30:00',
    ];
    for (const form of forms)
      expect([form, readDateText(form)]).toEqual([form, { kind: 'day', day: '2026-05-04' }]);
    expect(readDateText('46146')).toEqual({ kind: 'serial', day: '2026-05-04' });
  });

  it('keeps both readings of 4/5/2026 and one of 13/5/2026', () => {
    expect(readDateText('4/5/2026')).toEqual({
      kind: 'either',
      dmy: '2026-05-04',
      mdy: '2026-04-05',
    });
    expect(readDateText('13/5/2026')).toEqual({ kind: 'ordered', order: 'dmy', day: '2026-05-13' });
    expect(readDateText('5/13/26')).toEqual({ kind: 'ordered', order: 'mdy', day: '2026-05-13' });
    expect(readDateText('5/5/2026')).toEqual({ kind: 'day', day: '2026-05-05' });
  });

  it('is not taken in by what is no date', () => {
    for (const text of [
      '31/6/2026',
      '30 February 2026',
      'Block 4',
      'May',
      '2026-13-01',
      '99/99/99',
      '1.5',
      '4 Marble 2026x',
    ]) {
      expect([text, readDateText(text).kind]).toEqual([text, 'text']);
    }
  });

  it('lets one cell of 13 or more settle the column, and finds the cell against it', () => {
    const settled = column(['4/5/2026', '11/5/2026', '18/5/2026']);
    expect(settled.days).toEqual(['2026-05-04', '2026-05-11', '2026-05-18']);
    const against = column(['4/5/2026', '18/5/2026', '25/5/2026', '5/30/2026']);
    expect(against.days).toEqual(['2026-05-04', '2026-05-18', '2026-05-25', 'against']);
  });

  it('leaves the whole column open where nothing settles it, until it is answered', () => {
    const open = column(['4/5/2026', '5/5/2026']);
    expect(open.order).toBe('undecided');
    expect(open.days).toEqual(['order', 'order']);
    expect(open.example).toEqual({ text: '4/5/2026', dmy: '2026-05-04', mdy: '2026-04-05' });
    expect(column(['4/5/2026', '5/5/2026'], { order: 'mdy' }).days).toEqual([
      '2026-04-05',
      '2026-05-05',
    ]);
  });

  it('asks for the year, or takes the one the others have', () => {
    expect(column(['May 4', '11 May']).days).toEqual(['year', 'year']);
    expect(column(['May 4', '11 May'], { year: 2025 }).days).toEqual(['2025-05-04', '2025-05-11']);
    expect(column(['May 4', '11 May 2026']).days).toEqual(['2026-05-04', '2026-05-11']);
  });

  it('does not read 26-05-04, 26-05-11 as days of 2004 and 2011', () => {
    expect(column(['26-05-04', '26-05-11']).days).toEqual([
      'year-first-or-last',
      'year-first-or-last',
    ]);
  });

  it('reads day counts as counts, but not one among dates', () => {
    expect(column(['0', '7', '14']).days).toEqual([0, 7, 14]);
    expect(column(['2026-05-04', '7']).days).toEqual(['2026-05-04', 'text']);
  });

  it('knows months in seven languages and no others', () => {
    expect(
      [
        'mars',
        'März',
        'maart',
        'août',
        'agosto',
        'Okt',
        'Dez',
        'gennaio',
        'février',
        'juin',
        'luglio',
      ].map(monthNamed),
    ).toEqual([3, 3, 3, 8, 8, 10, 12, 1, 2, 6, 7]);
    expect(monthNamed('week')).toBeUndefined();
  });

  it('converts serial numbers as ECMA-376 part 1, 18.17.4.1 has them', () => {
    // Known pairs: 1 is 1900-01-01, 59 is 28 February, 61 is 1 March 1900, 43831 is 2020-01-01.
    expect([1, 59, 60, 61, 43_831, 0.5].map((n) => serialDay(n, false))).toEqual([
      '1900-01-01',
      '1900-02-28',
      undefined,
      '1900-03-01',
      '2020-01-01',
      undefined,
    ]);
    expect(serialDay(0, true)).toBe('1904-01-01');
    expect(serialDay(43_831 - 1462, true)).toBe('2020-01-01');
  });

  it('tells date formats from times, percent and plain numbers', () => {
    const formats = [
      'yyyy-mm-dd',
      'd/m/yy',
      'mmm',
      'h:mm',
      'mm:ss',
      '0.0%',
      '0.00',
      'General',
      '"day" 0',
      '[Red]0',
      '[$-409]d-mmm;@',
    ];
    expect(formats.map(formatOfCode)).toEqual([
      'date',
      'date',
      'date',
      'plain',
      'plain',
      'percent',
      'plain',
      'plain',
      'plain',
      'plain',
      'date',
    ]);
  });
});
