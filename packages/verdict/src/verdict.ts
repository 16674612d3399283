import type { PlotValues, Tally } from '@fairbed/trial';
import { claimsOf } from './claims';
import { type Claim, weigh } from './evidence';
import type { Judgement, Outcome, TimeToEvent } from './judgement';
import { figure, listed } from './numbers';
import { type JudgeOptions, worthHavingWithoutPlan } from './options';
import type { Analysed, OutcomeSetting } from './outcome';
import { peakDisease, strippingHides, wasStripped } from './pressure';
import { cautions, departures, reasons } from './remarks';
import { claimsOnScale, type Scaled } from './scale';
import { sentence } from './words';

export type VerdictInput = {
  readonly tally: Tally;
  readonly control: { readonly id: string; readonly name: string; readonly assumed: boolean };
  readonly options: JudgeOptions;
  readonly setting: OutcomeSetting;
  readonly analysed: readonly Analysed[];
  /** The main outcome on the scale it is compared on; undefined where as scored, or not compared. */
  readonly scaled: Scaled | undefined;
  readonly values: readonly PlotValues[];
  readonly design: Judgement['design'];
  readonly time: TimeToEvent | undefined;
};

function smallestPlots({ plots, treatments }: Outcome): number {
  const valued = plots.filter(({ value }) => value !== null);
  return Math.min(
    ...treatments.map(({ name }) => valued.filter(({ treatment }) => treatment === name).length),
  );
}

/** Days to an event alone: described, since plants of one plot are not independent. */
function daysSentence({ median }: TimeToEvent): string {
  const told = median.map(({ name, days }) =>
    days === null ? `${name} not yet` : `${name} on day ${figure(days)}`,
  );
  return `Half of the plants got there: ${listed(told)}. Days are described here, not judged, since plants of one plot share their ground.`;
}

/** The comparisons that the verdict weighs, on the scale they are made on. */
export function claimsFor(main: Analysed, scaled: Scaled | undefined, control: string): Claim[] {
  return scaled?.analysed === undefined
    ? claimsOf(main, control)
    : claimsOnScale({ ...scaled, analysed: scaled.analysed }, control);
}

/** What is said of the trial in words, and how firmly. */
export function verdictOf(input: VerdictInput): Judgement['verdict'] {
  const { tally, control, setting, analysed, values, design, options } = input;
  const { trial } = tally;
  const main = analysed[0];
  const id = values[0]?.id;
  const planned = options.worthHavingPercent ?? trial.plan?.smallestDifferencePercent;
  const worthHavingPercent = planned ?? worthHavingWithoutPlan;
  const base = { departures: departures(trial), worthHavingPercent };
  if (main === undefined || id === undefined) {
    const said = input.time
      ? daysSentence(input.time)
      : 'This trial has no scores yet, so there is nothing to judge.';
    return { ...base, grade: 'no answer', sentence: said, reasons: [], cautions: [] };
  }
  const { outcome } = main;
  const claims = claimsFor(main, input.scaled, control.name);
  const peak = peakDisease(tally, id, control.id);
  const told = cautions({
    trial,
    outcome,
    outcomes: analysed.map((one) => one.outcome),
    control: control.name,
    controlAssumed: control.assumed,
    worthAssumed: planned === undefined,
    worthHavingPercent,
    stripped: wasStripped(tally),
    dunnett: (input.scaled?.analysed?.fitted ?? main.adjusted ?? main.fitted)?.dunnett,
    scaled: input.scaled?.analysed !== undefined,
    baselineFlat: outcome.baselineAdjusted?.slope === null,
  });
  if (setting.replicated && !setting.layout.judged) {
    const said = 'A trial laid out like this is described here, not judged: see the cautions.';
    return { ...base, grade: 'no answer', sentence: said, reasons: [], cautions: told };
  }
  const evidence = weigh({
    replicated: setting.replicated,
    randomised: trial.design.randomised,
    peakDisease: peak,
    claims,
    smallestP: design.smallestP,
    fewestPlots: smallestPlots(outcome),
    lostShare: 1 - main.used / Math.max(1, setting.table.plots.length),
    strippingHides: strippingHides(tally, id),
    worthHavingPercent,
  });
  const shared = { evidence, outcome, control: control.name, claims, worthHavingPercent };
  return {
    ...base,
    grade: evidence.grade,
    sentence: sentence({ ...shared, peakDisease: peak }),
    reasons: reasons({ ...shared, design }),
    cautions: told,
  };
}
