import { describe, expect, it } from 'vitest';
import { guessMapping } from './guess';
import { readTable } from './readtable';
import { readWideHeading } from './wide';

const guess = (text: string) => {
  const { table } = readTable(new TextEncoder().encode(text), 's.csv');
  if (!table) throw new Error('no table');
  const { mapping, questions } = guessMapping(table);
  const roles = Object.fromEntries(
    mapping.columns.filter((c) => c.role !== 'ignore').map((c) => [c.column, c.role]),
  );
  return { mapping, roles, asked: questions.map((q) => q.code) };
};

describe('guessing the columns', () => {
  it('knows ordinary headings in several languages', () => {
    expect(
      guess(
        'Block,Treatment,Plant No.,Date scored,Leaves,Diseased leaves,Stripped,Notes\nA,none,1,2026-05-04,9,2,1,ok\n',
      ).roles,
    ).toEqual({
      Block: 'block',
      Treatment: 'treatment',
      'Plant No.': 'plant',
      'Date scored': 'date',
      Leaves: 'leaves',
      'Diseased leaves': 'diseased',
      Stripped: 'stripped',
      Notes: 'note',
    });
    expect(
      guess('Wiederholung;Variante;Parzelle;Datum;Befall %\n1;Kontrolle;1;4.5.2026;12,5\n').roles,
    ).toEqual({
      Wiederholung: 'block',
      Variante: 'treatment',
      Parzelle: 'plot',
      Datum: 'date',
      'Befall %': 'severity',
    });
    expect(
      guess('bloque;tratamiento;fecha;hojas;hojas enfermas\n1;agua;4/5/2026;10;2\n').roles,
    ).toEqual({
      bloque: 'block',
      tratamiento: 'treatment',
      fecha: 'date',
      hojas: 'leaves',
      'hojas enfermas': 'diseased',
    });
  });

  it('asks what a grade, or an unnamed row of dates, means', () => {
    const wide = guess('plot,treatment,2015-03-02,2015-03-16\n1,a,1,4\n2,b,2,8\n');
    expect(wide.mapping.wide).toEqual([
      {
        measure: 'grade',
        columns: [
          { column: '2015-03-02', date: '2015-03-02' },
          { column: '2015-03-16', date: '2015-03-16' },
        ],
      },
    ]);
    expect(wide.asked).toEqual(['what-measure', 'grade-healthy']);
    expect(
      guess('plot,treatment,week 3,week 5\n1,a,1.5,44\n2,b,2,80\n').mapping.wide?.[0]?.measure,
    ).toBe('severity');
  });

  it('reads a wide sheet of two measures, and one of plants', () => {
    const two = guess(
      'plot,treatment,diseased wk1,leaves wk1,diseased wk2,leaves wk2\n1,a,1,9,2,8\n',
    );
    expect(two.mapping.wide?.map((g) => [g.measure, g.columns.map((c) => c.round)])).toEqual([
      [
        'diseased',
        ['wk1', 'wk1']
          .map(() => 'wk 1')
          .slice(0, 1)
          .concat('wk 2'),
      ],
      ['leaves', ['wk 1', 'wk 2']],
    ]);
    const plants = guess('block,treatment,plant 1,plant 2\nA,x,12.5,40\n');
    expect(plants.mapping.wide?.[0]?.columns.map((c) => c.plant)).toEqual(['1', '2']);
  });

  it('asks where dates in headings can be read two ways, and lets one settle all', () => {
    expect(guess('plot,treatment,04/05/2026,11/05/2026\n1,a,1,2\n').asked).toContain('date-order');
    const settled = guess('plot,treatment,04/05/2026,18/05/2026\n1,a,1,2\n');
    expect(settled.asked).not.toContain('date-order');
    expect(settled.mapping.wide?.[0]?.columns.map((c) => c.date)).toEqual([
      '2026-05-04',
      '2026-05-18',
    ]);
  });

  it('asks for the treatment and the scores when it sees none', () => {
    expect(guess('a,b\n1,2\n3,4\n').asked).toEqual(['which-treatment', 'which-measure']);
    expect(guess('stuff,yield\nx,2\nx,3\ny,4\ny,5\n').asked).toEqual(['treatment-guessed']);
  });

  it('is plain data that survives JSON, whatever the headings', () => {
    const { mapping } = guess('__proto__,treatment,severity\n1,a,2\n');
    expect(JSON.parse(JSON.stringify(mapping))).toEqual(mapping);
    expect(mapping.columns.map((c) => c.column)).toEqual(['__proto__', 'treatment', 'severity']);
  });
});

describe('headings of a wide sheet', () => {
  it('are rounds, plants or neither', () => {
    expect(readWideHeading('severity_week_3')).toEqual({ round: 'week 3', measure: 'severity' });
    expect(readWideHeading('4 May 2026')).toEqual({ date: '2026-05-04' });
    expect(readWideHeading('X2015.03.02')).toEqual({ date: '2015-03-02' });
    expect(readWideHeading('2026-05-04 diseased')).toEqual({
      date: '2026-05-04',
      measure: 'diseased',
    });
    for (const other of ['treatment', 'plot', 'May', 'block 2 notes', 'yield_kg_ha', '%', '']) {
      expect([other, readWideHeading(other)]).toEqual([other, undefined]);
    }
  });
});
