import {
  availableOutcomes,
  isOutcomeId,
  measureOf,
  type OutcomeId,
  plotValues,
  type PlotValues,
  tabulate,
  type Tally,
  type Trial,
} from '@fairbed/trial';
import { claimsOf } from './claims';
import { weigh } from './evidence';
import { howComputed } from './how';
import type { Judgement, Outcome } from './judgement';
import { type Layout, layoutFor } from './layout';
import { countsOf, type Modelled, ordinalOf, timeOf } from './models';
import { type Analysed, analyse, type OutcomeSetting } from './outcome';
import { peakDisease, strippingHides } from './pressure';
import { cautions, departures, reasons } from './remarks';
import { balanceOf, progressOf } from './series';
import { type PlotTable, plotTable, treatmentNames } from './table';
import { sentence } from './words';

export type JudgeOptions = {
  /** Id of the outcome to judge by; the trial's own main outcome when left out. */
  readonly outcome?: string;
  /** Id of a first-round outcome, or `baseline-value`, to adjust for. */
  readonly baseline?: string;
  /** Id or name of the treatment that others are compared with. */
  readonly control?: string;
  /** Seed of the draws where there are too many layouts to try all; 1 when left out. */
  readonly seed?: number;
  /** Smallest difference worth having, percent less than the control. */
  readonly worthHavingPercent?: number;
  /** Make the layout's own test for all outcomes, not for the main one alone. */
  readonly exactForAll?: boolean;
  /** Leave out the models of counts, grades and days. */
  readonly withoutModels?: boolean;
};

/** Taken where no plan says what difference would be worth having, percent (our choice, no source). */
export const worthHavingWithoutPlan = 30;

/** Asked for something this trial can't give; the message is a sentence for a grower. */
export class JudgeError extends Error {
  override readonly name = 'JudgeError';
}

type Control = { readonly id: string; readonly assumed: boolean };

function controlOf(trial: Trial, asked: string | undefined): Control {
  if (asked !== undefined) {
    const found = trial.treatments.find(({ id, name }) => id === asked || name === asked);
    if (found) return { id: found.id, assumed: false };
    const names = trial.treatments.map(({ name }) => name).join(', ');
    throw new JudgeError(`No treatment is called ${asked}. There are: ${names}.`);
  }
  const named = trial.control ?? trial.treatments.find(({ kind }) => kind === 'untreated')?.id;
  const planted = new Set(trial.plots.map(({ treatment }) => treatment));
  const first = trial.treatments.find(({ id }) => planted.has(id));
  return named === undefined
    ? { id: first?.id ?? '', assumed: true }
    : { id: named, assumed: false };
}

/**
 * The outcomes to show, the one to judge by first. Where leaves were stripped and nobody chose, the
 * diseased leaves of the whole season come first: stripping lowers every other share (rule V9).
 */
function outcomesOf(tally: Tally, asked: string | undefined): readonly OutcomeId[] {
  const possible = availableOutcomes(tally);
  if (asked !== undefined && (!isOutcomeId(asked) || !possible.includes(asked))) {
    throw new JudgeError(
      `This trial can't give the outcome ${asked}. It can give: ${possible.join(', ')}.`,
    );
  }
  const main = possible[0];
  const hidden = main !== undefined && strippingHides(tally, main);
  const whole =
    hidden && tally.trial.plan?.outcome === undefined && possible.includes('diseased-cumulative')
      ? ['diseased-cumulative' as const]
      : [];
  const shown = possible.filter((id) => !id.endsWith('-first') && id !== 'baseline-value');
  return [...new Set([...(asked === undefined ? whole : [asked]), ...shown])];
}

function baselineOf(tally: Tally, asked: string | undefined): PlotValues | undefined {
  if (asked === undefined) return undefined;
  const possible = availableOutcomes(tally);
  if (isOutcomeId(asked) && possible.includes(asked)) return plotValues(tally, asked);
  const first = possible.filter((id) => id.endsWith('-first') || id === 'baseline-value');
  const given = first.length === 0 ? 'nothing of the kind' : first.join(', ');
  throw new JudgeError(`This trial has no ${asked} to adjust for. It has: ${given}.`);
}

const isReplicated = ({ treatment }: PlotTable): boolean =>
  treatment.levels.some((_, code) => treatment.codes.filter((c) => c === code).length > 1);

function designOf(trial: Trial, table: PlotTable, layout: Layout, main: Analysed | undefined) {
  return {
    kind: isReplicated(table) ? layout.kind : 'unreplicated',
    treatments: table.treatment.levels.length,
    blocks: table.block?.levels.length ?? layout.blocks,
    plots: trial.plots.length,
    layouts: layout.count,
    smallestP: main?.test?.tested ? main.test.smallestP : null,
  };
}

type Models = {
  readonly parts: Pick<Judgement, 'counts' | 'ordinal' | 'time'>;
  readonly notes: readonly string[];
};

function modelsOf(tally: Tally, control: Control, main: OutcomeId | undefined): Models {
  const { trial } = tally;
  const notes: string[] = [];
  const keep = <T>(model: Modelled<T> | undefined): T | undefined => {
    if (model === undefined) return undefined;
    if (!model.known) {
      notes.push(model.why);
      return undefined;
    }
    notes.push(...model.notes);
    return model.value;
  };
  const name = treatmentNames(trial).get(control.id) ?? control.id;
  const lastOf = (id: OutcomeId) => plotValues(tally, id).last?.id;
  const measure = main && measureOf(tally, main);
  const counted = lastOf('incidence-last');
  const counts = counted === undefined ? undefined : keep(countsOf(trial, counted, name));
  const gradedAt = lastOf('grade-index-last');
  const graded = gradedAt === undefined || measure === undefined ? undefined : gradedAt;
  const ordinal = graded === undefined ? undefined : keep(ordinalOf(trial, graded, name));
  const time = keep(timeOf(trial));
  return {
    parts: {
      ...(counts ? { counts } : {}),
      ...(ordinal ? { ordinal } : {}),
      ...(time ? { time } : {}),
    },
    notes,
  };
}

function smallestPlots({ plots, treatments }: Outcome): number {
  const valued = plots.filter(({ value }) => value !== null);
  return Math.min(
    ...treatments.map(({ name }) => valued.filter(({ treatment }) => treatment === name).length),
  );
}

/**
 * Judges a trial: figures for every outcome, models, leaf balance, and a verdict in words with its
 * step of evidence. The same trial and options give the same judgement to the bit, anywhere.
 *
 * @throws JudgeError (a sentence) when asked for a control, outcome or baseline the trial lacks.
 */
export function judge(trial: Trial, options: JudgeOptions = {}): Judgement {
  const tally = tabulate(trial);
  const control = controlOf(trial, options.control);
  const table = plotTable(trial, control.id);
  const layout = layoutFor(trial, table);
  const ids = outcomesOf(tally, options.outcome);
  const setting: OutcomeSetting = {
    table,
    layout,
    replicated: isReplicated(table) && layout.judged,
    baseline: baselineOf(tally, options.baseline),
    seed: options.seed ?? 1,
    exact: true,
  };
  const values = ids.map((id) => plotValues(tally, id));
  const analysed = values.map((one, i) =>
    analyse(one, { ...setting, exact: i === 0 || options.exactForAll === true }),
  );
  // Plants of a single plot are no replicates: a model of them would give p-values out of nothing.
  const modelled = isReplicated(table) && options.withoutModels !== true;
  const models = modelled ? modelsOf(tally, control, ids[0]) : { parts: {}, notes: [] };
  const controlName = treatmentNames(trial).get(control.id) ?? control.id;
  const design = designOf(trial, table, layout, analysed[0]);
  const verdict = verdictOf({
    tally,
    control,
    controlName,
    table,
    layout,
    options,
    setting,
    analysed,
    values,
    design,
  });
  const notes = values[0]?.notes.map(({ what }) => what) ?? [];
  return {
    title: trial.title,
    invented: trial.invented ?? false,
    control: controlName === '' ? null : controlName,
    design,
    outcomes: analysed.map(({ outcome }) => outcome),
    ...models.parts,
    ...balanceOf(tally),
    ...(ids[0] === undefined ? {} : progressOf(tally, table, measureOf(tally, ids[0]))),
    verdict: {
      ...verdict,
      cautions: [...new Set([...verdict.cautions, ...layout.notes, ...notes, ...models.notes])],
    },
    how: howComputed({ design, layout, outcome: analysed[0]?.outcome, baseline: setting.baseline }),
  };
}

type VerdictInput = {
  readonly tally: Tally;
  readonly control: Control;
  readonly controlName: string;
  readonly table: PlotTable;
  readonly layout: Layout;
  readonly options: JudgeOptions;
  readonly setting: OutcomeSetting;
  readonly analysed: readonly Analysed[];
  readonly values: readonly PlotValues[];
  readonly design: Judgement['design'];
};

function verdictOf(input: VerdictInput): Judgement['verdict'] {
  const { tally, table, options, setting, analysed, values, controlName, design } = input;
  const { trial } = tally;
  const main = analysed[0];
  const id = values[0]?.id;
  const planned = options.worthHavingPercent ?? trial.plan?.smallestDifferencePercent;
  const worthHavingPercent = planned ?? worthHavingWithoutPlan;
  if (main === undefined || id === undefined) {
    return {
      grade: 'no answer',
      sentence: 'This trial has no scores yet, so there is nothing to judge.',
      reasons: [],
      cautions: [],
      departures: departures(trial),
      worthHavingPercent,
    };
  }
  const claims = claimsOf(main, controlName);
  const peak = peakDisease(tally, id, input.control.id);
  const evidence = weigh({
    replicated: setting.replicated,
    randomised: trial.design.randomised,
    peakDisease: peak,
    claims,
    smallestP: design.smallestP,
    fewestPlots: smallestPlots(main.outcome),
    lostShare: 1 - main.used / Math.max(1, table.plots.length),
    strippingHides: strippingHides(tally, id),
    worthHavingPercent,
  });
  const { outcome } = main;
  const shared = { evidence, outcome, control: controlName, claims, worthHavingPercent };
  return {
    grade: evidence.grade,
    sentence: input.layout.judged
      ? sentence({ ...shared, peakDisease: peak })
      : 'This kind of layout is described here, not judged: see the cautions.',
    reasons: reasons({ ...shared, design }),
    cautions: cautions({
      trial,
      table,
      outcome,
      outcomes: analysed.map((one) => one.outcome),
      control: controlName,
      controlAssumed: input.control.assumed,
      worthAssumed: planned === undefined,
      worthHavingPercent,
      stripped: tally.entries.stripped.some((leaves) => leaves > 0),
    }),
    departures: departures(trial),
    worthHavingPercent,
  };
}
