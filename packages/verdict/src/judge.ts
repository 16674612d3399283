import { smallestShare } from '@fairbed/stats';
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
import type { MethodResult } from './judgement';
import type { Judgement } from './whole';
import type { JudgeOptions } from './options';
import { type Layout, layoutFor } from './layout';
import {
  chooseMethod,
  type FoundMethod,
  type MethodChoice,
  type OtherMethod,
  resultOf,
} from './method';
import type { MethodInput } from './method-input';
import type { Modelled } from './modelled';
import type { Looks } from './looks';
import { modelsOf } from './models';
import { type Analysed, analyse, type OutcomeSetting } from './outcome';
import { type Scaled, scaledAnalysis } from './scale';
import { strippingHides, wasStripped } from './pressure';
import { anew, createMemory, type Recall } from './remember';
import { balanceOf, progressOf } from './series';
import { type PlotTable, plotTable, treatmentNames } from './table';
import { verdictOf } from './verdict';
import { looksFor, type LooksFound, widerOf } from './wider';

/** Asked for something this trial can't give; the message is a sentence for a grower. */
export class JudgeError extends Error {
  override readonly name = 'JudgeError';
}

type Control = { readonly id: string; readonly assumed: boolean };

function controlOf(trial: Trial, asked: string | undefined): Control {
  const planted = new Set(trial.plots.map(({ treatment }) => treatment));
  if (asked !== undefined) {
    const found = trial.treatments.find(({ id, name }) => id === asked || name === asked);
    if (found && planted.has(found.id)) return { id: found.id, assumed: false };
    if (found)
      throw new JudgeError(`No plot has ${found.name}, so nothing can be compared with it.`);
    const names = trial.treatments.map(({ name }) => name).join(', ');
    throw new JudgeError(`No treatment is called ${asked}. There are: ${names}.`);
  }
  const named = trial.control ?? trial.treatments.find(({ kind }) => kind === 'untreated')?.id;
  const first = trial.treatments.find(({ id }) => planted.has(id));
  return named === undefined || (first !== undefined && !planted.has(named))
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

/** The smallest p of the layout where only days were recorded, and no outcome's test says it. */
function smallestOf({ set }: Layout, table: PlotTable): number | null {
  const { codes, levels } = table.treatment;
  if (set === undefined || !isReplicated(table)) return null;
  return smallestShare(set, codes, levels.length) ?? null;
}

function designOf(trial: Trial, table: PlotTable, layout: Layout, main: Analysed | undefined) {
  return {
    kind: isReplicated(table) ? layout.kind : 'unreplicated',
    treatments: table.treatment.levels.length,
    blocks: table.block?.levels.length ?? layout.blocks,
    plots: trial.plots.length,
    layouts: layout.count,
    smallestP: main ? (main.test?.tested ? main.test.smallestP : null) : smallestOf(layout, table),
  };
}

/** What the other methods find; in brief only the one that decides. */
function methodsOf(
  choice: MethodChoice | undefined,
  brief: boolean,
  find: (method: OtherMethod) => Modelled<MethodResult>,
): readonly FoundMethod[] {
  if (choice === undefined) return [];
  const { used, offered } = choice;
  const wanted = offered.flatMap(({ id }) =>
    id === 'plots' || (brief && id !== used) ? [] : [id],
  );
  return wanted.map((method) => ({ method, found: find(method) }));
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
  const ground = groundOf(then, options, (key, make) => recall([look, ...key], make));
  const looks = recall(['looks', look, ...ground.asked, options.outcome ?? '', ground.brief], () =>
    !ground.setting.replicated
      ? { toCome: false, notes: [] }
      : looksFor(whole, { ...ground, early: then !== whole }, (round) =>
          recall(['tallyAt', round], () => {
            const at = upTo(whole, round);
            return at === undefined ? undefined : tabulate(at);
          }),
        ),
  );
  return judgeOn(ground, options, looks);
}

/** A trial as one question looks at it: what all parts of the answer are made from. */
type Ground = {
  readonly trial: Trial;
  readonly tally: Tally;
  readonly control: Control & { readonly name: string };
  readonly setting: OutcomeSetting;
  readonly values: readonly PlotValues[];
  readonly input: MethodInput;
  readonly brief: boolean;
  /** What the figures of an outcome hang on, beside the outcome. */
  readonly asked: readonly (string | number)[];
  readonly recall: Recall;
};

function groundOf(trial: Trial, options: JudgeOptions, recall: Recall): Ground {
  const tally = recall(['tally'], () => tabulate(trial));
  const control = controlOf(trial, options.control);
  const name = treatmentNames(trial).get(control.id) ?? control.id;
  const table = plotTable(trial, control.id);
  const layout = layoutFor(trial, table);
  const seed = options.seed ?? 1;
  const values = outcomesOf(tally, options).map((id) =>
    recall(['values', id], () => plotValues(tally, id)),
  );
  return {
    trial,
    tally,
    control: { ...control, name },
    setting: {
      table,
      layout,
      replicated: isReplicated(table),
      baseline: baselineOf(tally, options.baseline),
      seed,
      exact: true,
    },
    values,
    input: { tally, table, layout, control: name, outcome: values[0], seed },
    brief: options.brief === true,
    asked: [control.id, options.baseline ?? '', seed],
    recall,
  };
}

/** Every outcome analysed, the main one also on the scale it is compared on. */
function figuresOf({ values, setting, asked, recall }: Ground, options: JudgeOptions) {
  const analysed = values.map((one, i) => {
    const exact = i === 0 || options.exactForAll === true;
    return recall(['analysed', one.id, exact, ...asked], () => analyse(one, { ...setting, exact }));
  });
  const scaled = scaleOf(values[0], analysed[0], setting, options, (make) =>
    recall(['scaled', values[0]?.id ?? '', options.scale ?? '', ...asked], make),
  );
  const shown = analysed.map(({ outcome }, i) =>
    i === 0 && scaled ? { ...outcome, scale: scaled.told } : outcome,
  );
  return { analysed, scaled, shown };
}

const nothing = { parts: {}, notes: [] };

/** The models of counts, grades and days, and what other methods than one value a plot find. */
function methodsIn(ground: Ground, options: JudgeOptions) {
  const { tally, setting, values, input, brief, asked, recall } = ground;
  const id = values[0]?.id;
  const choice = chooseMethod({ tally, outcome: id, asked: options.method });
  // Plants of a single plot are no replicates: a model of them would give p-values out of nothing.
  if (!setting.replicated || !setting.layout.judged) return { choice, found: [], models: nothing };
  const daysOnly = options.withoutModels === true || brief;
  const models = recall(['models', daysOnly, id ?? '', ...asked], () => modelsOf(input, daysOnly));
  const found = methodsOf(choice, daysOnly, (method) =>
    recall(['method', method, id ?? '', ...asked], () => resultOf(method, input)),
  );
  return { choice, found, models };
}

function judgeOn(ground: Ground, options: JudgeOptions, looks: LooksFound): Judgement {
  const { trial, tally, control, setting, values, input, brief, recall } = ground;
  const { table, layout } = setting;
  const { analysed, scaled, shown } = figuresOf(ground, options);
  const { choice, found, models } = methodsIn(ground, options);
  const design = designOf(trial, table, layout, analysed[0]);
  const { method, ...verdict } = verdictOf({
    ...{ tally, control, options, setting, analysed, scaled, values, design, choice, found },
    looks: looks.looks,
    toCome: looks.toCome,
  });
  const wider =
    brief || options.withoutModels === true
      ? nothing
      : recall(
          [
            'wider',
            values[0]?.id ?? '',
            verdict.worthHavingPercent,
            JSON.stringify(options.earlier ?? []),
            ...ground.asked,
          ],
          () =>
            widerOf({
              ...{ input, setting, analysed, earlier: options.earlier },
              worthHavingPercent: verdict.worthHavingPercent,
            }),
        );
  const balance = brief ? nothing : recall(['balance'], () => balanceOf(tally));
  const notes = values[0]?.notes.map(({ what }) => what) ?? [];
  const told = [layout.notes, notes, models.notes, balance.notes, looks.notes, wider.notes];
  return {
    title: trial.title,
    invented: trial.invented ?? false,
    control: control.name === '' ? null : control.name,
    ...(options.look === undefined ? {} : { look: options.look }),
    design,
    outcomes: shown,
    ...models.parts,
    ...wider.parts,
    ...(looks.looks ? looksParts(looks.looks) : {}),
    ...balance.parts,
    ...(brief || values[0] === undefined
      ? {}
      : progressOf(tally, table, measureOf(tally, values[0].id))),
    ...(method ? { method } : {}),
    verdict: { ...verdict, cautions: [...new Set([verdict.cautions, ...told].flat())] },
    how: howComputed({ design, layout, outcome: shown[0], baseline: setting.baseline }),
  };
}

function looksParts({ looks, ...plan }: Looks): Pick<Judgement, 'looks' | 'looksPlan'> {
  return { looks, looksPlan: plan };
}
