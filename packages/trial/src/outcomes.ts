import type { Problem } from '@fairbed/field';
import { type Course, courseOf, type PlotCourse, roundName } from './course';
import { type MeasureId, measures } from './measures';
import type { Round, Trial } from './schema';
import { missingRound, type Summary, type SummaryId, summaries } from './summaries';
import { tabulate, type Tally } from './tally';

/** What each outcome measures and how it sums up the rounds; ids as docs/measures.md has them. */
const outcomes = {
  'audpc-incidence': ['incidence', 'area'],
  'audpc-severity': ['severity', 'area'],
  'audpc-grade': ['grade', 'area'],
  'audpc-value': ['value', 'area'],
  'diseased-cumulative': ['diseased-cumulative', 'last'],
  'healthy-leaf-days': ['healthy-leaves', 'area'],
  'incidence-last': ['incidence', 'last'],
  'severity-last': ['severity', 'last'],
  'grade-index-last': ['grade-index', 'last'],
  'value-last': ['value', 'last'],
  'incidence-mean': ['incidence', 'mean'],
  'value-mean': ['value', 'mean'],
  'audps-incidence': ['incidence', 'stairs'],
  'audps-severity': ['severity', 'stairs'],
  'audpc-incidence-standardised': ['incidence', 'standardised'],
  'audpc-severity-standardised': ['severity', 'standardised'],
  'incidence-cumulative-last': ['incidence-cumulative', 'last'],
  'audpc-incidence-cumulative': ['incidence-cumulative', 'area'],
  'stripped-total': ['stripped-total', 'last'],
  'incidence-first': ['incidence', 'first'],
  'severity-first': ['severity', 'first'],
  'grade-index-first': ['grade-index', 'first'],
  'value-first': ['value', 'first'],
  'baseline-value': ['baseline', 'first'],
  'onset-days': ['incidence', 'onset'],
} as const satisfies Readonly<Record<string, readonly [MeasureId, SummaryId]>>;

export type OutcomeId = keyof typeof outcomes;

export const outcomeIds = Object.keys(outcomes) as readonly OutcomeId[];

export const isOutcomeId = (text: string): text is OutcomeId => Object.hasOwn(outcomes, text);

/** What an outcome is called, before there is a trial that has it. */
export function outcomeTitle(id: OutcomeId, valueMeasure?: Trial['valueMeasure']): string {
  const [measure, summary] = outcomes[id];
  const of = valueMeasure === undefined ? {} : { valueMeasure };
  return summaries[summary].title(measures[measure].title({ trial: of }));
}

/** An outcome of every plot. A plot without a value has its reason in `reasons`. */
export type PlotValues = {
  readonly id: OutcomeId;
  readonly title: string;
  readonly unit: string;
  readonly better: 'lower' | 'higher';
  /** Plots in the order of the trial. */
  readonly values: ReadonlyMap<string, number | undefined>;
  readonly reasons: ReadonlyMap<string, string>;
  /** First and last round that count for all plots. */
  readonly first: Round | undefined;
  readonly last: Round | undefined;
  readonly notes: readonly Problem[];
};

const isTally = (source: Trial | Tally): source is Tally => 'entries' in source;

/** A trial added up; a tally as it is. Tally once where several outcomes are asked for. */
export const tallyOf = (source: Trial | Tally): Tally =>
  isTally(source) ? source : tabulate(source);

/** Onset is judged by whichever kind of disease score the trial has. */
function measureFor(tally: Tally, id: OutcomeId): MeasureId {
  const [measure] = outcomes[id];
  if (id !== 'onset-days') return measure;
  const kinds = ['incidence', 'severity', 'grade'] as const;
  return kinds.find((kind) => measures[kind].recorded(tally)) ?? measure;
}

/** The measure behind an outcome, for its progress chart: of `audpc-incidence`, `incidence`. */
export const measureOf = (source: Trial | Tally, id: OutcomeId): MeasureId =>
  measureFor(tallyOf(source), id);

function noteOf(code: string, what: string, remedy: string): Problem {
  return { kind: 'note', code, what, do: remedy };
}

function whyMissing(
  tally: Tally,
  course: Course,
  plot: PlotCourse,
  missing: 'never' | 'first' | 'last',
): string {
  const lost = tally.trial.plots.find(({ id }) => id === plot.plot)?.lost;
  if (lost !== undefined) return `the plot was lost (${lost.why.replace(/\.$/, '')})`;
  if (missing === 'never') return 'it was not scored, or no leaf stood';
  const r = (missing === 'first' ? course.rounds[0] : course.rounds.at(-1)) ?? 0;
  return `it was not scored at the ${missing} round (${roundName(tally.timeline, r)}), or no leaf stood`;
}

/** Says which inner rounds of a plot were bridged and over how many days. */
function bridgeNote(tally: Tally, course: Course, plot: PlotCourse): Problem | undefined {
  const inner = course.rounds.filter((r) => !plot.rounds.includes(r));
  if (inner.length === 0) return undefined;
  const widest = plot.days.reduce(
    (most, day, i) => (i === 0 ? 0 : Math.max(most, day - (plot.days[i - 1] ?? day))),
    0,
  );
  const unit = tally.timeline.clock === 'order' ? 'rounds' : 'days';
  const names = inner.map((r) => roundName(tally.timeline, r)).join(', ');
  return noteOf(
    'round-bridged',
    `Plot ${plot.plot} was not scored at ${names}; the curve was drawn straight across the gap, at most ${widest} ${unit}.`,
    'Add the missing scores if you have them.',
  );
}

type SumUp = { readonly tally: Tally; readonly course: Course; readonly summary: Summary };

function sumUpPlots({ tally, course, summary }: SumUp) {
  const days = course.rounds.map((r) => tally.timeline.days[r] ?? 0);
  const values = new Map<string, number | undefined>();
  const reasons = new Map<string, string>();
  const notes: Problem[] = [];
  const spans = summary.needs === 'both';
  for (const plot of course.plots) {
    const missing = missingRound(summary, course, plot);
    const value = missing === undefined ? summary.sumUp(plot, days) : undefined;
    values.set(plot.plot, value);
    if (value === undefined) {
      const why =
        missing === undefined
          ? 'it had no disease in any round'
          : whyMissing(tally, course, plot, missing);
      reasons.set(plot.plot, why);
      notes.push(noteOf('no-value', `Plot ${plot.plot} has no value: ${why}.`, ''));
    } else if (spans) {
      const note = bridgeNote(tally, course, plot);
      if (note !== undefined) notes.push(note);
    }
  }
  return { values, reasons, notes };
}

/** Entries with leaves but no word about stripping, in a trial that strips. */
function blankNotes(tally: Tally, measure: MeasureId): Problem[] {
  const needs = ['incidence-cumulative', 'diseased-cumulative', 'stripped-total'];
  if (!needs.includes(measure)) return [];
  const { entries } = tally;
  let blanks = 0;
  for (let e = 0; e < entries.count; e++) {
    if (Number.isNaN(entries.stripped[e]) && !Number.isNaN(entries.standing[e])) blanks++;
  }
  return blanks === 0
    ? []
    : [
        noteOf(
          'stripping-blank',
          `${blanks} of ${entries.count} entries say nothing about stripping; none was counted there.`,
          'Write 0 where nothing was stripped.',
        ),
      ];
}

/**
 * An outcome of every plot. `source` is a trial or its tally ({@link tabulate}). Where the trial
 * did not record what the outcome needs, no plot has a value and a note says so.
 */
export function plotValues(source: Trial | Tally, id: OutcomeId): PlotValues {
  const tally = tallyOf(source);
  const measureId = measureFor(tally, id);
  const measure = measures[measureId];
  const summary = summaries[outcomes[id][1]];
  const course = courseOf(tally, measureId);
  const named = {
    id,
    title: summary.title(measure.title(tally)),
    unit: summary.unit(measure.unit(tally), tally),
    better: id === 'onset-days' ? 'higher' : measure.better(tally),
    first: tally.timeline.rounds[course.rounds[0] ?? -1],
    last: tally.timeline.rounds[course.rounds.at(-1) ?? -1],
  } as const;
  if (course.rounds.length < summary.rounds) {
    const why =
      course.rounds.length === 0
        ? 'the trial does not record what it needs'
        : `it needs ${summary.rounds} rounds, the trial has ${course.rounds.length}`;
    return {
      ...named,
      values: new Map(tally.plots.map((plot) => [plot, undefined])),
      reasons: new Map(tally.plots.map((plot) => [plot, why])),
      notes: [...tally.problems, noteOf('not-recorded', `${id} can't be computed: ${why}.`, '')],
    };
  }
  const { values, reasons, notes } = sumUpPlots({ tally, course, summary });
  return {
    ...named,
    values,
    reasons,
    notes: [...tally.problems, ...course.notes, ...blankNotes(tally, measureId), ...notes],
  };
}

type Kind = { readonly id: MeasureId; readonly area: OutcomeId; readonly last: OutcomeId };

const kinds: readonly Kind[] = [
  { id: 'incidence', area: 'audpc-incidence', last: 'incidence-last' },
  { id: 'severity', area: 'audpc-severity', last: 'severity-last' },
  { id: 'grade', area: 'audpc-grade', last: 'grade-index-last' },
  { id: 'value', area: 'audpc-value', last: 'value-last' },
];

/** Whether a trial's records can carry an outcome: enough rounds count for all plots. */
export function canGive(source: Trial | Tally, id: OutcomeId): boolean {
  const tally = tallyOf(source);
  const [, summary] = outcomes[id];
  const single = summary === 'first' && id !== 'baseline-value';
  const needed = single || summary === 'mean' ? 2 : summaries[summary].rounds;
  return roundsOf(tally, measureFor(tally, id)) >= needed;
}

const roundsOf = (tally: Tally, id: MeasureId): number => courseOf(tally, id).rounds.length;

/** The outcomes a trial would be judged by, the best first, whether or not it can give them. */
function wantedFirst(tally: Tally): readonly OutcomeId[] {
  const planned = tally.trial.plan?.outcome;
  const kind = kinds.find(({ id }) => roundsOf(tally, id) > 0);
  const dated = tally.timeline.clock !== 'order';
  const first = kind && (roundsOf(tally, kind.id) >= 3 && dated ? kind.area : kind.last);
  return [
    ...(planned !== undefined && isOutcomeId(planned) ? [planned] : []),
    ...(first === undefined ? [] : [first]),
    ...(kind?.id === 'incidence' ? (['diseased-cumulative'] as const) : []),
  ];
}

/** Outcomes of the time before treatment: to adjust for, not to judge by. */
export const isBefore = (id: OutcomeId): boolean =>
  id.endsWith('-first') || id === 'baseline-value';

/**
 * The first of {@link availableOutcomes} that is not of the time before treatment, without working
 * out the others. Undefined where the records can give none.
 */
export function mainOutcome(source: Trial | Tally): OutcomeId | undefined {
  const tally = tallyOf(source);
  const ids = [...wantedFirst(tally), ...outcomeIds];
  return ids.find((id) => !isBefore(id) && canGive(tally, id));
}

/**
 * The outcomes a trial's records can carry, the main one first. The main one is the plan's where
 * it names one that can be computed; else of the first kind recorded (leaf counts, severity,
 * grades, values): the area under its curve with three or more dated rounds, its last round
 * otherwise. Beside counts with stripping comes `diseased-cumulative`, since incidence on the
 * plant alone misleads there. Outcomes of the first round only stand in with two or more rounds.
 */
export function availableOutcomes(source: Trial | Tally): readonly OutcomeId[] {
  const tally = tallyOf(source);
  return [...new Set<OutcomeId>([...wantedFirst(tally), ...outcomeIds])].filter((id) =>
    canGive(tally, id),
  );
}
