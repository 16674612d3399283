import type { DaysCurve, Look, RankedTreatment, Residual } from '../src/index';
import { five, severity } from './trials';

// Invented for the gallery like the rest: made up to look ordinary, computed from nothing.

export const ranking: readonly RankedTreatment[] = five.map((name, i) => ({
  name,
  best: [0.002, 0.01, 0.83, 0.14, 0.018][i] ?? 0,
  beatsControl: i === 0 ? null : ([0, 0.71, 0.998, 0.96, 0.82][i] ?? 0),
  beatsWorthwhile: i === 0 ? null : ([0, 0.06, 0.94, 0.68, 0.2][i] ?? 0),
}));

export const looks: readonly Look[] = [
  {
    round: 'r1',
    date: '2026-05-04',
    statistic: 0.4,
    bound: null,
    alphaSpent: 0,
    p: 0.62,
    stop: false,
  },
  {
    round: 'r2',
    date: '2026-05-11',
    statistic: 1.7,
    bound: 5.9,
    alphaSpent: 0.00005,
    p: 0.13,
    stop: false,
  },
  {
    round: 'r3',
    date: '2026-05-18',
    statistic: 2.6,
    bound: 4.4,
    alphaSpent: 0.0021,
    p: 0.031,
    stop: false,
  },
  {
    round: 'r4',
    date: '2026-05-26',
    statistic: 3.9,
    bound: 3.5,
    alphaSpent: 0.0118,
    p: 0.004,
    stop: true,
  },
];

const left = [-2.1, 0.4, 3.8, -1.2, 0.9, -0.6, 1.7, -3.1, 0.2, -0.4];

const valued = severity.plots.filter(({ value }) => value !== null);
const over = valued.map((_, i) => (i === 4 ? 11.4 : (left[i % left.length] ?? 0) + i / 20));

/** Every plot with a value; one of them far from the model. */
export const residuals: readonly Residual[] = valued.map(({ plot, value }, i) => {
  const residual = over[i] ?? 0;
  const share = (over.filter((other) => other < residual).length + 0.5) / over.length;
  return {
    plot,
    fitted: (value ?? 0) - residual,
    residual,
    studentised: residual / (i === 4 ? 3.3 : 2.2),
    // Near enough to the normal's own for a picture (Tukey's lambda).
    normalScore: 4.91 * (share ** 0.14 - (1 - share) ** 0.14),
  };
});

export const curves: readonly DaysCurve[] = five.map((name, t) => {
  const shares = [
    [0.75, 0.35, 0.1, 0],
    [0.8, 0.4, 0.15, 0.05],
    [1, 0.9, 0.8, 0.7],
    [0.95, 0.75, 0.55, 0.4],
    [0.85, 0.5, 0.3, 0.2],
  ][t] as readonly number[];
  const days = [0, 7, 14, 22, 28];
  const falls = shares.flatMap((share, i) =>
    share === (shares[i - 1] ?? 1)
      ? []
      : [
          {
            from: t === 1 && i === 0 ? null : (days[i] ?? 0),
            to: days[i + 1] ?? 0,
            share,
            low: Math.max(0, share - 0.2),
            high: Math.min(1, share + 0.2),
          },
        ],
  );
  const never = { from: 28, to: null, share: 0, low: null, high: null };
  return { name, steps: (shares.at(-1) ?? 0) > 0 ? [...falls, never] : falls };
});
