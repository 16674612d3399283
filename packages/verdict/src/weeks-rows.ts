import { fitLinear } from '@fairbed/stats';
import { mainOutcome, measureOf, plotSeries } from '@fairbed/trial';
import { layoutTerms, treatmentFactor } from './fit';
import type { MethodInput } from './method-input';

/** One plot at one round. */
export type WeekRow = { readonly plot: number; readonly round: number; readonly value: number };

export type WeekRound = {
  readonly day: number;
  readonly date?: string | undefined;
  /** How widely plots scatter about their treatment and block, standard deviation. */
  readonly sd: number;
};

/** What was scored on plots round by round, for one model of all of it. */
export type WeekRows = {
  readonly title: string;
  readonly unit: string;
  readonly rounds: readonly WeekRound[];
  /** Sorted by plot, then by round. */
  readonly rows: readonly WeekRow[];
  readonly notes: readonly string[];
};

type Point = { readonly day: number; readonly date?: string; readonly value: number };

/** The rounds at which at least half of the plots that were ever scored have a value. */
function commonDays(series: readonly (readonly Point[])[]): number[] {
  const scored = series.filter((points) => points.length > 0).length;
  const counts = new Map<number, number>();
  for (const points of series) {
    for (const { day } of points) counts.set(day, (counts.get(day) ?? 0) + 1);
  }
  return [...counts]
    .filter(([, plots]) => 2 * plots >= scored)
    .map(([day]) => day)
    .sort((a, b) => a - b);
}

/** Standard deviation of one round's plots about treatment and layout; undefined where none is known. */
function spreadOf(input: MethodInput, rows: readonly WeekRow[]): number | undefined {
  const { table, layout } = input;
  const kept = rows.map(({ plot }) => plot);
  const y = Float64Array.from(rows, ({ value }) => value);
  const response = { table, kept, y, baseline: undefined };
  const terms = [...layoutTerms(response, layout.latin), treatmentFactor(response)];
  const { spread } = fitLinear({ y, terms });
  return spread.known ? spread.sd : undefined;
}

const named = ({ day, date }: { readonly day: number; readonly date?: string | undefined }) =>
  date ?? `day ${day}`;

/** Rounds before any treatment, which say nothing of it. */
function baselineDays({ tally }: MethodInput): ReadonlySet<number> {
  const { rounds, days } = tally.timeline;
  return new Set(rounds.flatMap(({ baseline }, i) => (baseline === true ? [days[i] ?? -1] : [])));
}

/**
 * The plot x round values of the outcome's measure (the main outcome's where none is given). Left out: rounds before any treatment, rounds
 * scored on few plots, and rounds at which plots are all alike but for treatment and block.
 */
export function weekRowsOf(input: MethodInput): WeekRows {
  const { tally, table, outcome } = input;
  const measure = measureOf(tally, outcome?.id ?? mainOutcome(tally) ?? 'incidence-last');
  const series = plotSeries(tally, measure);
  const points = table.plots.map((plot) => series.plots.get(plot) ?? []);
  const before = baselineDays(input);
  const days = commonDays(points).filter((day) => !before.has(day));
  const notes: string[] = [];
  const rounds: WeekRound[] = [];
  const rows: WeekRow[] = [];
  for (const day of days) {
    const date = points.flat().find((point) => point.day === day)?.date;
    const here = points.flatMap((mine, plot) =>
      mine
        .filter((point) => point.day === day)
        .map(({ value }) => ({ plot, round: rounds.length, value })),
    );
    const sd = spreadOf(input, here);
    if (sd === undefined) {
      notes.push(
        `${named({ day, date })}: plots of a treatment do not differ at all, so this round is left out of the model of all rounds.`,
      );
      continue;
    }
    rounds.push({ day, date, sd });
    rows.push(...here);
  }
  const sorted = rows.toSorted((a, b) => a.plot - b.plot || a.round - b.round);
  return { title: series.title, unit: series.unit, rounds, rows: sorted, notes };
}
