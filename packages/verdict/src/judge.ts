import {
  availableOutcomes,
  canGive,
  isBefore,
  isOutcomeId,
  mainOutcome,
  measureOf,
  type OutcomeId,
  plotValues,
  type PlotValues,
  tabulate,
  type Tally,
  type Trial,
  upTo,
} from '@fairbed/trial';
import { howComputed } from './how';
import type { Judgement } from './judgement';
import type { JudgeOptions } from './options';
import { type Layout, layoutFor } from './layout';
import { modelsOf } from './models';
import { type Analysed, analyse, type OutcomeSetting } from './outcome';
import { type Scaled, scaledAnalysis } from './scale';
import { strippingHides, wasStripped } from './pressure';
import { anew, createMemory, type Recall } from './remember';
import { balanceOf, progressOf } from './series';
import { type PlotTable, plotTable, treatmentNames } from './table';
import { verdictOf } from './verdict';

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

function checkAsked(tally: Tally, asked: string): OutcomeId {
  if (isOutcomeId(asked) && canGive(tally, asked)) return asked;
  throw new JudgeError(
    `This trial can't give the outcome ${asked}. It can give: ${availableOutcomes(tally).join(', ')}.`,
  );
}

/**
 * The outcome to judge by. Where leaves were stripped and nobody chose, the diseased leaves of the
 * whole season: stripping lowers every other share (rule V9).
 */
function decisiveOutcome(tally: Tally, asked: string | undefined): OutcomeId | undefined {
  if (asked !== undefined) return checkAsked(tally, asked);
  const main = mainOutcome(tally);
  const whole = 'diseased-cumulative';
  const hidden = main !== undefined && strippingHides(tally, main);
  return hidden && tally.trial.plan?.outcome === undefined && canGive(tally, whole) ? whole : main;
}

/** The outcomes to show, the one to judge by first; in brief only those that the sentence needs. */
function outcomesOf(tally: Tally, options: JudgeOptions): readonly OutcomeId[] {
  const main = decisiveOutcome(tally, options.outcome);
  if (main === undefined) return [];
  if (options.brief === true) {
    const beside: readonly OutcomeId[] = wasStripped(tally)
      ? ['diseased-cumulative', 'incidence-last']
      : [];
    return [...new Set([main, ...beside.filter((id) => canGive(tally, id))])];
  }
  const shown = availableOutcomes(tally).filter((id) => !isBefore(id));
  return [...new Set([main, ...shown])];
}

function baselineOf(tally: Tally, asked: string | undefined): PlotValues | undefined {
  if (asked === undefined) return undefined;
  const possible = availableOutcomes(tally);
  if (isOutcomeId(asked) && possible.includes(asked)) return plotValues(tally, asked);
  const first = possible.filter(isBefore);
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

/**
 * The scale the main outcome is compared on; undefined where it is not compared at all, or with a
 * baseline, which it is adjusted for as scored.
 */
function scaleOf(
  values: PlotValues | undefined,
  main: Analysed | undefined,
  setting: OutcomeSetting,
  options: JudgeOptions,
  recall: (make: () => Scaled) => Scaled,
): Scaled | undefined {
  if (values === undefined || main?.fitted === undefined) return undefined;
  if (setting.baseline !== undefined) return undefined;
  return recall(() => scaledAnalysis(values, setting, options.scale));
}

function asOf(trial: Trial, look: string | undefined): Trial {
  if (look === undefined) return trial;
  const then = upTo(trial, look);
  if (then) return then;
  const rounds = trial.rounds.map(({ id }) => id).join(', ');
  throw new JudgeError(`This trial has no round ${look}. It has: ${rounds}.`);
}

/**
 * Judges a trial: figures for every outcome, models, leaf balance, and a verdict in words with its
 * step of evidence. The same trial and options give the same judgement to the bit, anywhere.
 *
 * @throws JudgeError (a sentence) when asked for a control, outcome or baseline the trial lacks.
 */
export function judge(trial: Trial, options: JudgeOptions = {}): Judgement {
  return judgeWith(trial, options, anew);
}

/**
 * A judge of one trial that remembers the parts of its answers: another smallest difference, or an
 * outcome that was worked out beside another, costs next to nothing. To the bit what {@link judge}
 * gives.
 */
export function createJudge(trial: Trial): (options?: JudgeOptions) => Judgement {
  const recall = createMemory();
  return (options = {}) => judgeWith(trial, options, recall);
}

function judgeWith(whole: Trial, options: JudgeOptions, recall: Recall): Judgement {
  const then = recall(['trial', options.look ?? ''], () => asOf(whole, options.look));
  // After the last round the trial is the whole one: what was worked out of it holds.
  const look = then === whole ? '' : (options.look ?? '');
  return judgeAsOf(then, options, (key, make) => recall([look, ...key], make));
}

function judgeAsOf(trial: Trial, options: JudgeOptions, recall: Recall): Judgement {
  const brief = options.brief === true;
  const tally = recall(['tally'], () => tabulate(trial));
  const control = controlOf(trial, options.control);
  const table = plotTable(trial, control.id);
  const layout = layoutFor(trial, table);
  const ids = outcomesOf(tally, options);
  const setting: OutcomeSetting = {
    table,
    layout,
    replicated: isReplicated(table),
    baseline: baselineOf(tally, options.baseline),
    seed: options.seed ?? 1,
    exact: true,
  };
  const values = ids.map((id) => recall(['values', id], () => plotValues(tally, id)));
  const asked = [control.id, options.baseline ?? '', setting.seed];
  const analysed = values.map((one, i) => {
    const exact = i === 0 || options.exactForAll === true;
    return recall(['analysed', one.id, exact, ...asked], () => analyse(one, { ...setting, exact }));
  });
  const scaled = scaleOf(values[0], analysed[0], setting, options, (make) =>
    recall(['scaled', ids[0] ?? '', options.scale ?? '', ...asked], make),
  );
  const controlName = treatmentNames(trial).get(control.id) ?? control.id;
  const daysOnly = options.withoutModels === true || brief;
  // Plants of a single plot are no replicates: a model of them would give p-values out of nothing.
  const models =
    setting.replicated && layout.judged
      ? recall(['models', control.id, daysOnly, setting.seed], () =>
          modelsOf({ tally, table, layout, control: controlName, seed: setting.seed }, daysOnly),
        )
      : { parts: {}, notes: [] };
  const design = designOf(trial, table, layout, analysed[0]);
  const verdict = verdictOf({
    tally,
    control: { ...control, name: controlName },
    options,
    setting,
    analysed,
    scaled,
    values,
    design,
    time: models.parts.time,
  });
  const balance = brief ? { parts: {}, notes: [] } : recall(['balance'], () => balanceOf(tally));
  const shown = analysed.map(({ outcome }, i) =>
    i === 0 && scaled ? { ...outcome, scale: scaled.told } : outcome,
  );
  const notes = values[0]?.notes.map(({ what }) => what) ?? [];
  return {
    title: trial.title,
    invented: trial.invented ?? false,
    control: controlName === '' ? null : controlName,
    ...(options.look === undefined ? {} : { look: options.look }),
    design,
    outcomes: shown,
    ...models.parts,
    ...balance.parts,
    ...(brief || ids[0] === undefined ? {} : progressOf(tally, table, measureOf(tally, ids[0]))),
    verdict: {
      ...verdict,
      cautions: [
        ...new Set([verdict.cautions, layout.notes, notes, models.notes, balance.notes].flat()),
      ],
    },
    how: howComputed({ design, layout, outcome: shown[0], baseline: setting.baseline }),
  };
}
