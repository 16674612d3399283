import type { Trial } from '@fairbed/trial';
import type { Judgement, Outcome } from '@fairbed/verdict';
import { type Balance, type Progress, treatmentStyles } from '../src/index';

// Invented for the gallery: leek rust on a sloping plot, five treatments in four blocks. The
// figures were made up to look ordinary; nothing is computed from them here.

export const five = [
  'Untreated',
  'Water only',
  'Potassium bicarbonate 0.5 %',
  'Wide spacing',
  'Skim milk 1:9',
];
export const control = 'Untreated';
export const styles = treatmentStyles(five, control);

const spoilt = 'B2-4';
const means = [48.2, 44.9, 21.3, 30.4, 39.8];
const wobble = [-5.1, 2.2, 6.4, -3.5];
const order = [
  [2, 0, 4, 1, 3],
  [1, 3, 0, 4, 2],
  [4, 2, 1, 3, 0],
  [0, 4, 3, 2, 1],
];

type PlotRow = { plot: string; treatment: string; block: string; level: number };

const plotRows: readonly PlotRow[] = order.flatMap((places, block) =>
  places.map((t, place) => ({
    plot: `B${block + 1}-${place + 1}`,
    treatment: five[t] ?? '',
    block: String(block + 1),
    level: (means[t] ?? 0) + (wobble[block] ?? 0) + ((place * 7 + t * 3) % 5) - 2,
  })),
);

export const severity: Outcome = {
  id: 'severity-last',
  title: 'Leaf area diseased at the last round',
  unit: '%',
  better: 'lower',
  plots: plotRows.map(({ plot, treatment, block, level }) => ({
    plot,
    treatment,
    block,
    value: plot === spoilt ? null : level,
  })),
  treatments: [
    { name: 'Untreated', mean: 48.2, se: 2.9, low: 41.9, high: 54.5, plots: 4 },
    { name: 'Water only', mean: 44.9, se: 2.9, low: 38.6, high: 51.2, plots: 4 },
    { name: 'Potassium bicarbonate 0.5 %', mean: 21.3, se: 2.9, low: 15, high: 27.6, plots: 4 },
    { name: 'Wide spacing', mean: 30.4, se: 2.9, low: 24.1, high: 36.7, plots: 4 },
    { name: 'Skim milk 1:9', mean: 39.8, se: 3.4, low: 32.4, high: 47.2, plots: 3 },
  ],
  versusControl: [
    { name: 'Water only', difference: -3.3, se: 4.1, low: -14.9, high: 8.3, p: 0.84 },
    {
      name: 'Potassium bicarbonate 0.5 %',
      difference: -26.9,
      se: 4.1,
      low: -38.5,
      high: -15.3,
      p: 0.0001,
    },
    { name: 'Wide spacing', difference: -17.8, se: 4.1, low: -29.4, high: -6.2, p: 0.004 },
    { name: 'Skim milk 1:9', difference: -8.4, se: 4.5, low: -21.1, high: 4.3, p: 0.24 },
  ],
};

const ordered = (a: number | null, b: number | null) =>
  a === null || b === null ? { low: a, high: b } : { low: Math.min(a, b), high: Math.max(a, b) };

/** The same shape with other figures: for values that are tiny, huge, all zero or missing. */
export function withValues(
  base: Outcome,
  change: (value: number) => number,
  about: Partial<Outcome>,
): Outcome {
  const to = (value: number | null): number | null => (value === null ? null : change(value));
  const ends = <T extends { low: number | null; high: number | null; se: number | null }>(
    row: T,
  ): T => ({
    ...row,
    ...ordered(to(row.low), to(row.high)),
    se: row.se === null ? null : Math.abs(change(row.se)),
  });
  return {
    ...base,
    plots: base.plots.map((p) => ({ ...p, value: to(p.value) })),
    treatments: base.treatments.map((t) => ({ ...ends(t), mean: to(t.mean) })),
    ...(base.versusControl
      ? {
          versusControl: base.versusControl.map((c) => ({
            ...ends(c),
            difference: to(c.difference),
          })),
        }
      : {}),
    ...about,
  };
}

/** Higher is better, and everything did harm: healthy leaf-days below the control's. */
export const harmful: Outcome = {
  ...severity,
  id: 'healthy-leaf-days',
  title: 'Healthy leaf-days per plant',
  unit: 'leaf-days',
  better: 'higher',
  treatments: severity.treatments.map((t, i) => ({
    ...t,
    mean: 320 - 31 * i,
    low: 290 - 31 * i,
    high: 350 - 31 * i,
    se: 14,
  })),
  versusControl: (severity.versusControl ?? []).map((c, i) => ({
    ...c,
    difference: -31 * (i + 1),
    se: 20,
    low: -31 * (i + 1) - 56,
    high: -31 * (i + 1) + 56,
  })),
};

export const unreplicated: Outcome = {
  id: 'incidence-last',
  title: 'Leaves diseased at the last round',
  unit: '%',
  better: 'lower',
  plots: [
    { plot: 'north end', treatment: 'Untreated', block: null, value: 61 },
    { plot: 'middle', treatment: 'Garlic tea', block: null, value: 54 },
    { plot: 'south end', treatment: 'Copper hydroxide', block: null, value: 18 },
  ],
  treatments: [
    { name: 'Untreated', mean: 61, se: null, low: null, high: null, plots: 1 },
    { name: 'Garlic tea', mean: 54, se: null, low: null, high: null, plots: 1 },
    { name: 'Copper hydroxide', mean: 18, se: null, low: null, high: null, plots: 1 },
  ],
};

export const threeStyles = treatmentStyles(
  ['Untreated', 'Garlic tea', 'Copper hydroxide'],
  control,
);

export const twelve = Array.from({ length: 12 }, (_, i) =>
  i === 0
    ? 'Untreated'
    : `Cultivar ${['Alda', 'Bero', 'Cima', 'Dura', 'Elta', 'Fino'][i % 6] ?? ''} ${i}`,
);

export const twelveStyles = treatmentStyles(twelve, control);

export const twelveOutcome: Outcome = {
  ...severity,
  title: 'Grade index at the last round',
  plots: [1, 2, 3].flatMap((block) =>
    twelve.map((treatment, i) => ({
      plot: `${block}${String.fromCharCode(65 + ((i * 5 + block) % 12))}`,
      treatment,
      block: String(block),
      value: 70 - 5 * i + ((i * block * 7) % 9),
    })),
  ),
  treatments: twelve.map((name, i) => ({
    name,
    mean: 72 - 5 * i,
    se: 4,
    low: 64 - 5 * i,
    high: 80 - 5 * i,
    plots: 3,
  })),
  versusControl: twelve.slice(1).map((name, i) => ({
    name,
    difference: -5 * (i + 1),
    se: 5.6,
    low: -5 * (i + 1) - 16.4,
    high: -5 * (i + 1) + 16.4,
    p: 0.5,
  })),
};

const days = [0, 7, 14, 22, 28, 35];
const dates = ['2026-05-04', '2026-05-11', '2026-05-18', '2026-05-26', '2026-06-01', '2026-06-08'];
const rise = [0.04, 0.1, 0.27, 0.52, 0.8, 1];

export const progress: Progress = {
  measure: 'Leaf area diseased',
  unit: '%',
  plots: plotRows.map(({ plot, treatment, block, level }, i) => ({
    plot,
    treatment,
    block,
    points: days
      .map((day, d) => ({
        day,
        date: dates[d] ?? '',
        value: Math.max(0, level * (rise[d] ?? 0) + ((i * 5 + d * 3) % 4) - 1),
      }))
      .slice(0, plot === spoilt ? 4 : 6),
  })),
};

export const undated: Progress = {
  ...progress,
  plots: progress.plots.map((plot) => ({
    ...plot,
    points: plot.points.map(({ day, value }) => ({ day, value })),
  })),
};

export const twelveProgress: Progress = {
  measure: 'Grade',
  unit: '',
  plots: twelveOutcome.plots.map(({ plot, treatment, block, value }, i) => ({
    plot,
    treatment,
    block,
    points: [0, 10, 20, 30].map((day, d) => ({
      day,
      value: ((value ?? 0) / 20) * (d / 3) + ((i + d) % 3) * 0.1,
    })),
  })),
};

export const events = [
  { day: 1, label: 'first spray' },
  { day: 15, label: 'second spray' },
  { day: 19, label: 'storm, 38 mm' },
];

export const balance: Balance = five.map((treatment, t) => ({
  treatment,
  points: days.map((day, d) => {
    const share = ((means[t] ?? 0) / 60) * (rise[d] ?? 0);
    const stripped = t === 3 ? 6.5 * (rise[d] ?? 0) : 2.2 * share;
    const standing = 5 + 1.3 * d - stripped - 0.3 * d;
    return {
      day,
      date: dates[d] ?? '',
      healthy: standing * (1 - share * (t === 3 ? 0.2 : 0.6)),
      diseased: standing * share * (t === 3 ? 0.2 : 0.6),
      strippedSoFar: stripped,
      lostSoFar: d > 2 ? 0.9 : 0.2 * d,
      newSoFar: 1.3 * d,
    };
  }),
}));

export const bareBalance: Balance = balance.map((course) => ({
  ...course,
  points: course.points.map((p) => ({
    ...p,
    healthy: 0,
    diseased: 0,
    strippedSoFar: 0,
    lostSoFar: 0,
    newSoFar: 0,
  })),
}));

const base: Trial = {
  format: 'fairbed-trial',
  version: 1,
  id: 'gallery',
  title: 'Leek rust, five ways',
  invented: true,
  diseases: [{ id: 'rust', name: 'leek rust' }],
  beds: [],
  treatments: five.map((name, i) => ({
    id: `t${i}`,
    name,
    kind: i === 0 ? 'untreated' : 'unstated',
  })),
  control: 't0',
  design: { kind: 'randomised-blocks' },
  blocks: ['1', '2', '3', '4'].map((name) => ({ id: `b${name}`, name })),
  plots: [],
  plants: [],
  rounds: [],
  scores: [],
  times: [],
  sprays: [],
  events: [],
  harvests: [],
};

const plotsOf = (place: (block: number, i: number) => Trial['plots'][number]['place']) =>
  plotRows.map(({ plot, treatment, block }, i): Trial['plots'][number] => {
    const where = place(Number(block) - 1, i % 5);
    return {
      id: plot,
      code: plot,
      treatment: `t${five.indexOf(treatment)}`,
      block: `b${block}`,
      ...(where ? { place: where } : {}),
      ...(plot === spoilt ? { lost: { why: 'washed out by a storm' } } : {}),
    };
  });

/** Two long beds, 8.6 by 1.2 m, ten plots each of 0.8 by 1 m. */
export const placedTrial: Trial = {
  ...base,
  beds: [
    { id: 'upper', name: 'Upper bed', width: 8.7, height: 1.2 },
    { id: 'lower', name: 'Lower bed', width: 8.7, height: 1.2 },
  ],
  plots: plotsOf((block, i) => ({
    bed: block < 2 ? 'upper' : 'lower',
    x: 0.1 + ((block % 2) * 5 + i) * 0.85,
    y: 0.1,
    width: 0.8,
    height: 1,
  })),
};

/** Four short beds side by side, one a block. */
export const fourBeds: Trial = {
  ...base,
  beds: [1, 2, 3, 4].map((n) => ({ id: `bed${n}`, name: `Bed ${n}`, width: 1.2, height: 5.2 })),
  plots: plotsOf((block, i) => ({
    bed: `bed${block + 1}`,
    x: 0.1,
    y: 0.1 + i * 1.02,
    width: 1,
    height: 0.9,
  })),
};

export const sheetTrial: Trial = { ...base, plots: plotsOf(() => undefined) };

const six = ['Untreated', 'Oil', 'Soap', 'Sulphur', 'Whey', 'Compost tea'];
export const sixStyles = treatmentStyles(six, control);

/** A Latin square of six, rows and columns from the sheet. */
export const squareTrial: Trial = {
  ...base,
  design: { kind: 'latin-square' },
  blocks: [],
  treatments: six.map((name, i) => ({
    id: `t${i}`,
    name,
    kind: 'unstated',
  })),
  plots: Array.from({ length: 36 }, (_, i) => ({
    id: `p${i}`,
    code: String(i + 1),
    treatment: `t${(Math.floor(i / 6) + i) % 6}`,
    row: String(Math.floor(i / 6) + 1),
    column: String((i % 6) + 1),
  })),
};

export const squareOutcome: Outcome = {
  ...severity,
  plots: squareTrial.plots.map((p, i) => ({
    plot: p.id,
    treatment: p.treatment,
    block: null,
    value: (i * 37) % 101,
  })),
};

export const twelveTrial: Trial = {
  ...base,
  treatments: twelve.map((name, i) => ({ id: `c${i}`, name, kind: 'cultivar' })),
  control: 'c0',
  blocks: [1, 2, 3].map((n) => ({ id: `b${n}`, name: String(n) })),
  plots: twelveOutcome.plots.map((p) => ({
    id: p.plot,
    code: p.plot,
    treatment: `c${twelve.indexOf(p.treatment)}`,
    block: `b${p.block ?? ''}`,
  })),
};

export type Graded = Judgement['verdict']['grade'];
