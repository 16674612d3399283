import type { Plot, Trial } from '@fairbed/trial';
import type { Outcome } from '@fairbed/verdict';
import { fixedNumber, type NumberFormat, numberFormat, unitWords, withUnit } from './format';

/** A plot as the map shows it. */
export type MapPlot = {
  readonly id: string;
  /** What the judgement calls this plot (its id or its code): what is picked and lit. */
  readonly key: string;
  readonly code: string;
  /** Name of the treatment, undefined where only codes may be shown. */
  readonly treatment: string | undefined;
  readonly block: string | undefined;
  readonly value: number | undefined;
  readonly lost: boolean;
  readonly source: Plot;
};

/** The trial's plots with names in place of ids and the outcome's value, found by id or by code. */
export function mapPlots(
  trial: Trial,
  outcome: Outcome | undefined,
  codesOnly: boolean,
): readonly MapPlot[] {
  const treatments = new Map(trial.treatments.map((t) => [t.id, t.name]));
  const blocks = new Map(trial.blocks.map((b) => [b.id, b.name]));
  const values = new Map(outcome?.plots.map((p) => [p.plot, p.value]));
  return trial.plots.map((plot) => {
    const { id, code } = plot;
    const key = !values.has(id) && code !== undefined && values.has(code) ? code : id;
    return {
      id,
      key,
      code: code ?? id,
      treatment: codesOnly ? undefined : (treatments.get(plot.treatment) ?? plot.treatment),
      block: plot.block === undefined ? undefined : (blocks.get(plot.block) ?? plot.block),
      value: values.get(key) ?? undefined,
      lost: plot.lost !== undefined,
      source: plot,
    };
  });
}

/** Numbers in plots: whole ones as soon as they have two digits, there is little room. */
export function mapFormat(plots: readonly MapPlot[]): NumberFormat {
  const values = plots.map((p) => p.value).filter((v) => v !== undefined);
  const largest = Math.max(0, ...values.map(Math.abs));
  return largest >= 10 && largest < 1e8 ? (value) => fixedNumber(value, 0) : numberFormat(values);
}

export const bedTitle = (outcome: Outcome | undefined): string =>
  outcome === undefined
    ? 'Plan of the beds'
    : `Plan of the beds: ${withUnit(outcome.title, unitWords(outcome.unit))}`;

/** One plot in words: `plot B2, Skim milk, block 3: 24`. */
export function plotText(plot: MapPlot, format: NumberFormat): string {
  const where = [plot.treatment, plot.block && blockText(plot.block)].filter(Boolean).join(', ');
  const value = plot.value === undefined ? undefined : format(plot.value);
  const state = [value, plot.lost ? 'lost' : undefined].filter(Boolean).join(', ');
  return `plot ${plot.code}${where === '' ? '' : `, ${where}`}${state === '' ? '' : `: ${state}`}`;
}

/** A block called `2` is read as `block 2`; one with a name of its own keeps it. */
export const blockText = (name: string): string =>
  /^block\b/i.test(name) || name.length > 3 ? name : `block\u00a0${name}`;

/** Text alternative of the bed map: every plot in the order of the trial. */
export function describeBed(trial: Trial, outcome?: Outcome, codesOnly = false): string {
  const plots = mapPlots(trial, outcome, codesOnly);
  const format = mapFormat(plots);
  return `${plots.length} plots. ${plots.map((plot) => `${plotText(plot, format)}.`).join(' ')}`;
}
