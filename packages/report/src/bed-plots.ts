import type { Plot, Trial } from '@fairbed/trial';
import type { Outcome } from '@fairbed/verdict';
import { fixedNumber, type NumberFormat, numberFormat, unitWords, withUnit } from './format';

/** What a map draws of a trial. */
export type MapTrial = Pick<Trial, 'beds' | 'plots' | 'treatments' | 'blocks'>;
export type MapBed = Trial['beds'][number];

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
  trial: MapTrial,
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

/** What a round adds to a map, by the id of the plot. */
export type MapRound = {
  /** Plants of the plots, as far as they are known. */
  readonly plants?: ReadonlyMap<string, readonly PlantDot[]> | undefined;
  /** Ids of plots in the order they are walked. */
  readonly walk?: readonly string[] | undefined;
};

/** A plant on the map. Its place is in metres from the plot's south-west corner, if known. */
export type PlantDot = {
  readonly state: 'due' | 'scored' | 'skipped' | 'lost' | 'guard';
  readonly x?: number;
  readonly y?: number;
};

/** The place of a plot in the walk, counted from 1. */
export const stopOf = (plot: MapPlot, { walk = [] }: MapRound): number | undefined => {
  const at = walk.indexOf(plot.id);
  return at < 0 ? undefined : at + 1;
};

/** `3 of 5 plants scored, 1 skipped`; undefined where none is to score. */
function plantsText(dots: readonly PlantDot[]): string | undefined {
  const count = (state: PlantDot['state']): number => dots.filter((d) => d.state === state).length;
  const all = dots.length - count('guard');
  if (all === 0) return undefined;
  const others = (['skipped', 'lost'] as const).flatMap((state) =>
    count(state) > 0 ? [`${count(state)} ${state}`] : [],
  );
  return [`${count('scored')} of ${all} plants scored`, ...others].join(', ');
}

/** One plot in words: `plot B2, Skim milk, block 3: 24`, or `plot K7, stop 2: 3 of 5 plants scored`. */
export function plotText(plot: MapPlot, format: NumberFormat, more: MapRound = {}): string {
  const stop = stopOf(plot, more);
  const where = [
    plot.treatment,
    plot.block && blockText(plot.block),
    stop === undefined ? undefined : `stop\u00a0${stop}`,
  ]
    .filter(Boolean)
    .join(', ');
  const value = plot.value === undefined ? undefined : format(plot.value);
  const plants = plantsText(more.plants?.get(plot.id) ?? []);
  const state = [value, plants, plot.lost ? 'lost' : undefined].filter(Boolean).join(', ');
  return `plot ${plot.code}${where === '' ? '' : `, ${where}`}${state === '' ? '' : `: ${state}`}`;
}

/** A block called `2` is read as `block 2`; one with a name of its own keeps it. */
export const blockText = (name: string): string =>
  /^block\b/i.test(name) || name.length > 3 ? name : `block\u00a0${name}`;

/** Beds with a place in the garden, and ground that is blocked, in words; nothing else needs it. */
function bedsText(beds: MapTrial['beds']): string {
  const isTold = beds.some((bed) => bed.x !== undefined || (bed.blocked ?? []).length > 0);
  if (!isTold) return '';
  const metres = (length: number): string => `${Math.round(length * 100) / 100}`;
  const told = beds.map(({ name, width, height, blocked = [] }) => {
    const paths = blocked.filter(({ why }) => why === 'path').length;
    const unusable = blocked.length - paths;
    const parts = [
      `${metres(width)} by ${metres(height)}\u00a0m`,
      paths > 0 ? `${paths} ${paths === 1 ? 'path' : 'paths'}` : undefined,
      unusable > 0 ? `${unusable} unusable ${unusable === 1 ? 'part' : 'parts'}` : undefined,
    ].filter((part) => part !== undefined);
    return `${name.length > 3 ? name : `bed\u00a0${name}`}: ${parts.join(', ')}.`;
  });
  return ` ${told.join(' ')}`;
}

/** Text alternative of the bed map: every plot in the order of the walk, else of the trial. */
export function describeBed(
  trial: MapTrial,
  outcome?: Outcome,
  codesOnly = false,
  more: MapRound = {},
): string {
  const plots = mapPlots(trial, outcome, codesOnly);
  const format = mapFormat(plots);
  const turn = (plot: MapPlot): number => stopOf(plot, more) ?? plots.length + 1;
  const inTurn = more.walk ? [...plots].sort((a, b) => turn(a) - turn(b)) : plots;
  const told = inTurn.map((plot) => ` ${plotText(plot, format, more)}.`).join('');
  return `${plots.length} plots.${bedsText(trial.beds)}${told}`;
}
