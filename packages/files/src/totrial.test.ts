import { readTrial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { type Mapping, mappingFromRoles, type Role } from './mapping';
import { readTable } from './readtable';
import type { TrialOptions } from './found';
import { tableToTrial } from './totrial';

const build = (
  text: string,
  roles: Record<string, Role>,
  options: TrialOptions = {},
  more: Partial<Mapping> = {},
) => {
  const { table } = readTable(new TextEncoder().encode(text), 's.csv');
  if (!table) throw new Error('no table');
  const mapping = {
    ...mappingFromRoles(Object.entries(roles).map(([column, role]) => ({ column, role }))),
    ...more,
  };
  const result = tableToTrial(table, mapping, options);
  const valid = readTrial(result.trial);
  expect(valid.ok ? [] : valid.problems).toEqual([]);
  expect(result.rows.used + result.rows.set_aside).toBe(result.rows.read);
  const found = result.faults
    // Lost plots are asked about by the design, whose tests are elsewhere.
    .filter((p) => p.kind !== 'note' && p.code !== 'blocks-with-gaps')
    .map((p) => [p.code, p.row, p.column]);
  const notes = result.faults.filter((p) => p.kind === 'note').map((p) => p.code);
  return { ...result, found, notes };
};

const basic = { block: 'block', trt: 'treatment', y: 'value' } as const;
const counts = {
  block: 'block',
  trt: 'treatment',
  diseased: 'diseased',
  leaves: 'leaves',
} as const;

describe('from a table to a trial: the shape', () => {
  it('names plots by block and treatment', () => {
    const { trial, rows } = build('block,trt,y\nB1,A,1\nB1,B,2.5\nB2,A,3\nB2,B,4\n', basic, {
      control: 'a',
      better: 'higher',
    });
    expect(trial.plots.map((p) => [p.id, p.treatment, p.block])).toEqual([
      ['B1/A', 'A', 'B1'],
      ['B1/B', 'B', 'B1'],
      ['B2/A', 'A', 'B2'],
      ['B2/B', 'B', 'B2'],
    ]);
    expect(trial.scores[1]).toEqual({ plot: 'B1/B', round: '1', value: 2.5 });
    expect([trial.control, trial.design.kind, trial.valueMeasure]).toEqual([
      'A',
      'randomised-blocks',
      { name: 'y', better: 'higher' },
    ]);
    expect(rows).toEqual({ read: 4, used: 4, set_aside: 0 });
  });

  it('makes every row a plot where nothing groups them', () => {
    const { trial } = build('trt,y\nc,7.4\nc,8.5\nA,9.8\nA,8.8\n', {
      trt: 'treatment',
      y: 'value',
    });
    expect(trial.plots.map((p) => p.id)).toEqual(['c 1', 'c 2', 'A 1', 'A 2']);
    expect(trial.design.kind).toBe('completely-randomised');
  });

  it('asks for the plot where rounds repeat a treatment without block or plot', () => {
    const { found, rows } = build('trt,date,y\nA,2026-05-04,1\nA,2026-05-04,2\nA,2026-05-11,3\n', {
      trt: 'treatment',
      date: 'date',
      y: 'value',
    });
    expect(found).toEqual([['which-plot', undefined, undefined]]);
    expect(rows.used).toBe(0);
  });

  it('takes a treatment for one plot where plants stand in it and no plot is named', () => {
    const { trial, notes } = build('trt,plant,y\nA,1,1\nA,2,2\nB,1,3\nB,2,4\n', {
      trt: 'treatment',
      plant: 'plant',
      y: 'value',
    });
    expect(trial.design.kind).toBe('unreplicated');
    expect(notes).toContain('treatment-is-plot');
    expect(trial.plants.map((p) => p.id)).toEqual(['A/1', 'A/2', 'B/1', 'B/2']);
  });

  it('tells plots numbered afresh in each block from one plot in two blocks', () => {
    const roles = { ...basic, plot: 'plot' } as const;
    const afresh = build('block,plot,trt,y\n1,1,A,1\n1,2,B,2\n2,1,B,3\n2,2,A,4\n', roles);
    expect(afresh.trial.plots.map((p) => p.id)).toEqual(['1/1', '1/2', '2/1', '2/2']);
    expect(afresh.found).toEqual([]);
    const slip = build(
      'block,plot,trt,date,y\n1,1,A,2026-05-04,1\n1,1,A,2026-05-11,1\n2,1,A,2026-05-18,1\n1,2,B,2026-05-04,2\n2,3,A,2026-05-04,3\n2,4,B,2026-05-04,4\n',
      { ...roles, date: 'date' },
    );
    expect(slip.found).toEqual([['plot-two-ways', 4, undefined]]);
    expect(slip.rows.set_aside).toBe(1);
  });

  it('reads row and column, whole plots, and joined plant columns', () => {
    const square = build('r,c,trt,y\n1,1,A,1\n1,2,B,2\n2,1,B,3\n2,2,A,4\n', {
      r: 'row',
      c: 'column',
      trt: 'treatment',
      y: 'value',
    });
    expect(square.trial.design.kind).toBe('latin-square');
    expect(square.trial.plots[1]).toEqual({
      id: 'row 1, column 2',
      treatment: 'B',
      row: '1',
      column: '2',
    });
    const split = build(
      'block,v,trt,y\n1,X,0,1\n1,X,2,2\n1,Z,0,3\n1,Z,2,4\n2,X,0,1\n2,X,2,2\n2,Z,0,3\n2,Z,2,4\n',
      { ...basic, v: 'wholePlot' },
    );
    expect(split.trial.design.kind).toBe('split-plot');
    expect(split.trial.plots[0]).toEqual({
      id: '1/X/0',
      treatment: '0',
      block: '1',
      wholePlot: '1/X',
    });
    const plants = build('block,trt,vine,shoot,y\n1,A,V1,S1,1\n1,A,V1,S2,2\n2,A,V1,S1,3\n', {
      ...basic,
      vine: 'plant',
      shoot: 'plant',
    });
    expect(plants.trial.plants.map((p) => p.id)).toEqual(['1/A/V1/S1', '1/A/V1/S2', '2/A/V1/S1']);
  });

  it('orders rounds by date, and numbered weeks by number', () => {
    const dated = build('plot,trt,date,y\n1,A,11.5.2026,2\n1,A,4.5.2026,1\n2,B,4.5.2026,1\n', {
      plot: 'plot',
      trt: 'treatment',
      date: 'date',
      y: 'value',
    });
    expect(dated.trial.rounds).toEqual([
      { id: '2026-05-04', day: '2026-05-04' },
      { id: '2026-05-11', day: '2026-05-11' },
    ]);
    expect(dated.trial.scores[0]).toEqual({ plot: '1', round: '2026-05-11', value: 2 });
    const weeks = build('plot,trt,w,y\n1,A,week 10,2\n1,A,week 9,1\n', {
      plot: 'plot',
      trt: 'treatment',
      w: 'round',
      y: 'value',
    });
    expect(weeks.trial.rounds.map((r) => r.name)).toEqual(['week 9', 'week 10']);
    const days = build('plot,trt,d,y\n1,A,14,2\n1,A,0,1\n', {
      plot: 'plot',
      trt: 'treatment',
      d: 'date',
      y: 'value',
    });
    expect(days.trial.rounds.map((r) => r.at)).toEqual([0, 14]);
  });

  it('keeps days to an event, one row a plant, and heading dates', () => {
    const days = build(
      'block,trt,time,status\n1,A,28,1\n1,A,42,0\n1,B,30,yes\n2,A,1,0\n2,B,5,maybe\n',
      { block: 'block', trt: 'treatment', time: 'days', status: 'happened' },
    );
    expect(days.trial.times).toEqual([
      { plot: '1/A', plant: '1/A/1', event: 'other', days: 28, happened: true },
      { plot: '1/A', plant: '1/A/2', event: 'other', days: 42, happened: false },
      { plot: '1/B', plant: '1/B/1', event: 'other', days: 30, happened: true },
      { plot: '2/A', plant: '2/A/1', event: 'other', days: 1, happened: false },
    ]);
    expect(days.found).toEqual([['happened-unclear', 6, 'status']]);
    const heads = build(
      'plot,trt,on\n1,A,2026-06-01\n2,B,\n3,A,2026-06-11\n',
      { plot: 'plot', trt: 'treatment', on: 'headingDate' },
      {},
      { firstDay: '2026-05-01' },
    );
    expect(heads.trial.times.map((t) => [t.plot, t.days, t.happened])).toEqual([
      ['1', 31, true],
      ['2', 41, false],
      ['3', 41, true],
    ]);
  });

  it('reads stripped, lost, stage, baseline and notes', () => {
    const { trial } = build(
      'plot,trt,leaves,diseased,stripped,lost,bbch,before,y,note\n1,A,10,3,2,1,14,5.5,4,hail\n',
      {
        plot: 'plot',
        trt: 'treatment',
        leaves: 'leaves',
        diseased: 'diseased',
        stripped: 'stripped',
        lost: 'lost',
        bbch: 'stage',
        before: 'baseline',
        y: 'value',
        note: 'note',
      },
    );
    expect(trial.scores).toEqual([
      {
        plot: '1',
        round: '1',
        standing: 10,
        diseased: 3,
        stripped: 2,
        lost: [{ leaves: 1, why: 'unknown' }],
        stage: 14,
        baseline: 5.5,
        value: 4,
        note: 'hail',
      },
    ]);
  });

  it('reads one column a plant', () => {
    const wide = [
      {
        measure: 'severity',
        columns: [
          { column: 'p1', plant: '1' },
          { column: 'p2', plant: '2' },
        ],
      },
    ] as const;
    const { trial } = build(
      'block,trt,p1,p2\nA,x,10,20\nA,y,30,\n',
      { block: 'block', trt: 'treatment' },
      {},
      { wide },
    );
    expect(trial.scores.map((s) => [s.plant, s.severity])).toEqual([
      ['A/x/1', 10],
      ['A/y/1', 30],
      ['A/x/2', 20],
    ]);
  });
});

describe('from a table to a trial: what is wrong or open', () => {
  it('sets impossible counts aside with their row and column', () => {
    const { found, rows } = build(
      'block,trt,diseased,leaves\n1,A,9,4\n1,B,-2,4\n2,A,1.5,4\n2,B,two,4\n3,A,1,4\n3,B,,4\n',
      counts,
    );
    expect(found).toEqual([
      ['diseased-over', 2, 'diseased'],
      ['negative', 3, 'diseased'],
      ['not-whole', 4, 'diseased'],
      ['text-in-numbers', 5, 'diseased'],
    ]);
    expect(rows).toEqual({ read: 6, used: 2, set_aside: 4 });
  });

  it('keeps the plots of rows set aside: they were laid out', () => {
    const { trial } = build('block,trt,y\n1,A,1\n1,B,x\n2,A,3\n2,B,4\n', basic);
    expect(trial.plots.length).toBe(4);
    expect(trial.scores.length).toBe(3);
  });

  it('uses one of two equal rows and neither of two that differ, naming the other', () => {
    const text = 'block,trt,y\n1,A,1\n1,B,2\n2,A,3\n2,B,4\n3,A,5\n3,B,6\n1,A,1\n2,B,9\n';
    const { faults, rows, trial } = build(text, basic);
    const twice = faults.filter((p) => p.code === 'duplicate');
    expect(twice.map((p) => [p.row, /row (\d+)/.exec(p.what)?.[1]])).toEqual([
      [5, '9'],
      [8, '2'],
      [9, '5'],
    ]);
    expect(rows.set_aside).toBe(3);
    expect(trial.scores.map((s) => s.value)).toEqual([1, 2, 3, 5, 6]);
  });

  it('asks once where most plots have several rows', () => {
    const { found, rows } = build('block,trt,y\n1,A,1\n1,A,2\n1,B,2\n1,B,5\n2,A,3\n2,A,4\n', basic);
    expect(found).toEqual([['several-rows-a-plot', 2, undefined]]);
    expect(rows.set_aside).toBe(6);
  });

  it('merges capitals and spaces with a note, and asks about a near miss', () => {
    const merged = build(
      'block,trt,y\n1,Milk,1\n1,none,2\n2,milk ,3\n2,none,4\n3,Milk,5\n3,NONE,5\n',
      basic,
    );
    expect(merged.trial.treatments.map((t) => t.name)).toEqual(['Milk', 'none']);
    expect(merged.notes.filter((c) => c === 'spelling-merged').length).toBe(2);
    const text =
      'block,trt,y\n1,copper,1\n1,sulphur,2\n2,coper,3\n2,sulphur,4\n3,copper,5\n3,sulphur,6\n';
    const asked = build(text, basic);
    expect(asked.found).toEqual([['spelt-two-ways', 4, 'trt']]);
    expect([asked.rows.set_aside, asked.trial.treatments.length]).toEqual([1, 2]);
    const same = build(text, basic, { treatmentNames: [{ written: 'coper', means: 'copper' }] });
    expect([same.found, same.rows.set_aside, same.trial.treatments.length]).toEqual([[], 0, 2]);
    const own = build(text, basic, { treatmentNames: [{ written: 'coper', means: 'coper' }] });
    expect([own.found, own.trial.treatments.length]).toEqual([[], 3]);
  });

  it('does not take two treatments for one because their names are alike', () => {
    const different = build(
      'block,trt,y\n1,copper 2 g,1\n1,copper 3 g,2\n1,hopper,2\n1,cultivar A,1\n1,cultivar B,1\n2,copper 2 g,3\n2,cultivar A,1\n',
      basic,
    );
    expect(different.found.filter(([code]) => code === 'spelt-two-ways')).toEqual([]);
  });

  it('sets blank treatments, repeated headings and totals aside', () => {
    const { found, rows } = build(
      'block,trt,y\n1,A,1\n1,,2\nblock,trt,y\n2,A,3\n,Total,6\n1,B,1\n2,B,1\nMean,,2\n',
      basic,
    );
    expect(found).toEqual([
      ['blank-name', 3, 'trt'],
      ['heading-again', 4, undefined],
      ['totals-row', 6, 'trt'],
      ['totals-row', 9, 'block'],
    ]);
    expect(rows).toEqual({ read: 8, used: 4, set_aside: 4 });
  });

  it('holds percent, grades and stages to their range', () => {
    const percent = build('block,trt,sev\n1,A,101\n1,B,45%\n2,A,-1\n2,B,7\n', {
      block: 'block',
      trt: 'treatment',
      sev: 'severity',
    });
    expect(percent.found).toEqual([
      ['over-100', 2, 'sev'],
      ['negative', 4, 'sev'],
    ]);
    const grades = { block: 'block', trt: 'treatment', g: 'grade' } as const;
    const scale = { gradeClasses: [1, 2, 3, 4, 5], healthyGrade: 1 };
    const graded = build('block,trt,g\n1,A,1\n1,B,6\n2,A,2.5\n2,B,5\n', grades, scale);
    expect(graded.found).toEqual([
      ['not-a-class', 3, 'g'],
      ['not-a-class', 4, 'g'],
    ]);
    expect(graded.trial.gradeScale).toEqual({ classes: [1, 2, 3, 4, 5], healthy: 1 });
  });

  it('never assumes which grade is healthy', () => {
    const grades = { block: 'block', trt: 'treatment', g: 'grade' } as const;
    const text = 'block,trt,g\n1,A,1\n1,B,4\n2,A,2\n2,B,5\n';
    const open = build(text, grades);
    expect(open.found.map(([code]) => code)).toEqual(['grade-classes', 'grade-healthy']);
    expect(open.rows.used).toBe(0);
    expect(
      build(text, grades, { gradeClasses: [1, 2, 3, 4, 5] }).found.map(([code]) => code),
    ).toEqual(['grade-healthy']);
    expect(
      build(text, grades, { gradeClasses: [1, 2, 3, 4, 5], healthyGrade: 3 }).found.map(
        ([code]) => code,
      ),
    ).toEqual(['healthy-not-end']);
  });

  it('asks about a severity that may be a fraction, and obeys the answer', () => {
    const roles = { block: 'block', trt: 'treatment', sev: 'severity' } as const;
    const text = 'block,trt,sev\n1,A,0.25\n1,B,0.07\n2,A,1\n2,B,0\n';
    expect(build(text, roles).found).toEqual([['severity-fraction', undefined, 'sev']]);
    const answered = build(text, roles, {}, { severityScale: 'fraction' });
    expect(answered.trial.scores.map((s) => s.severity)).toEqual([25, 7, 100, 0]);
  });

  it('waits for the decimal mark and the order of dates, and obeys the answers', () => {
    const text = 'block;trt;y\n1;A;1,234\n1;B;2,500\n2;A;7\n2;B;8\n';
    const open = build(text, basic);
    expect(open.found).toEqual([['decimal-open', 2, 'y']]);
    expect(open.rows.used).toBe(0);
    expect(build(text, basic, {}, { decimal: 'comma' }).trial.scores.map((s) => s.value)).toEqual([
      1.234, 2.5, 7, 8,
    ]);
    const dates = 'plot,trt,date,y\n1,A,4/5/2026,1\n1,A,5/5/2026,2\n';
    const roles = { plot: 'plot', trt: 'treatment', date: 'date', y: 'value' } as const;
    expect(build(dates, roles).found).toEqual([['date-order', 2, 'date']]);
    expect(build(dates, roles, {}, { dateOrder: 'mdy' }).trial.rounds.map((r) => r.day)).toEqual([
      '2026-04-05',
      '2026-05-05',
    ]);
  });

  it('notes lost plots and missing scorings', () => {
    const { notes, faults } = build(
      'block,trt,date,y\n1,A,2026-05-04,1\n1,B,2026-05-04,1\n2,A,2026-05-04,1\n3,A,2026-05-04,1\n3,B,2026-05-04,1\n1,A,2026-05-11,1\n1,B,2026-05-11,1\n3,A,2026-05-11,1\n3,B,2026-05-11,1\n',
      { ...basic, date: 'date' },
    );
    expect(notes).toEqual(expect.arrayContaining(['plot-missing', 'not-at-round']));
    expect(faults.find((p) => p.code === 'plot-missing')?.what).toBe(
      'Block "2" has no plot of "B".',
    );
    expect(faults.find((p) => p.code === 'not-at-round')?.what).toBe(
      'Plot "2/A" has no score of 2026-05-11.',
    );
  });

  it('says which columns and controls there are when one is named wrongly', () => {
    const { faults, found } = build(
      'block,trt,y\n1,A,1\n1,B,2\n',
      { ...basic, nope: 'date' },
      { control: 'Q' },
    );
    expect(found.map(([code]) => code)).toEqual(['no-such-control', 'no-such-column']);
    expect(faults.find((p) => p.code === 'no-such-column')?.do).toBe(
      'Name one of: "block", "trt", "y".',
    );
  });

  it('takes the words of prototypes for names, all but the one that no document can carry', () => {
    const { trial, found } = build(
      'block,trt,y\n1,constructor,1\n1,toString,2\n2,constructor,1\n2,__proto__,2\n',
      basic,
    );
    expect(trial.treatments.map((t) => t.name)).toEqual(['constructor', 'toString']);
    expect(found).toEqual([['bad-name', 5, 'trt']]);
  });
});
