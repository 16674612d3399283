import type { PlotValues, Tally } from '@fairbed/trial';
import { claimsOf } from './claims';
import { type Claim, weigh } from './evidence';
import type { MethodResult, MethodUsed, Outcome } from './judgement';
import type { Judgement } from './whole';
import type { Looks } from './looks';
import {
  besideOf,
  claimsByMethod,
  type FoundMethod,
  type MethodChoice,
  plotsResult,
} from './method';
import { type JudgeOptions, worthHavingWithoutPlan } from './options';
import type { Analysed, OutcomeSetting } from './outcome';
import { peakDisease, strippingHides, wasStripped } from './pressure';
import { cautions, departures, reasons, testWords } from './remarks';
import { claimsOnScale, type Scaled } from './scale';
import { daysSentence, sentence } from './words';

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
  /** Undefined where there is nothing to judge by. */
  readonly choice: MethodChoice | undefined;
  readonly found: readonly FoundMethod[];
  /** Looks at the running trial, where the verdict hangs on them or they are shown. */
  readonly looks: Looks | undefined;
};

function smallestPlots({ plots, treatments }: Outcome): number {
  const valued = plots.filter(({ value }) => value !== null);
  return Math.min(
    ...treatments.map(({ name }) => valued.filter(({ treatment }) => treatment === name).length),
  );
}

/** The comparisons that the verdict weighs, on the scale they are made on. */
export function claimsFor(main: Analysed, scaled: Scaled | undefined, control: string): Claim[] {
  return scaled?.analysed === undefined
    ? claimsOf(main, control)
    : claimsOnScale({ ...scaled, analysed: scaled.analysed }, control);
}

const resultIn = (found: readonly FoundMethod[], method: string): MethodResult | undefined => {
  const one = found.find((each) => each.method === method)?.found;
  return one?.known === true ? one.value : undefined;
};

/** What the verdict weighs, and what is told of the method that gave it. */
type Weighed = {
  readonly claims: readonly Claim[];
  readonly method: MethodUsed | undefined;
  readonly cautions: readonly string[];
};

/**
 * The claims of the method that decides. One that can't be asked of these data gives way to one
 * value a plot, with its reason.
 */
function weighed(
  { choice, found, options, control }: VerdictInput,
  byPlots: readonly Claim[],
): Weighed {
  if (choice === undefined) return { claims: byPlots, method: undefined, cautions: [] };
  const known = found.flatMap((one) => (one.found.known ? [one.found.value] : []));
  const offered = choice.offered.filter(
    ({ id }) => id === 'plots' || found.every((one) => one.method !== id || one.found.known),
  );
  const result = resultIn(found, choice.used);
  const stands = choice.used === 'plots' || result !== undefined;
  const why = found.find((one) => one.method === choice.used)?.found;
  const used = stands ? choice.used : 'plots';
  const claims = result === undefined ? byPlots : claimsByMethod(result, byPlots);
  const others = [
    ...(used === 'plots' || byPlots.length === 0 ? [] : [plotsResult(byPlots, control.name)]),
    ...known.filter(({ method }) => method !== used),
  ];
  const beside = besideOf(claims, others);
  return {
    claims,
    method: {
      ...choice,
      used,
      offered,
      ...(options.brief === true ? {} : { results: others }),
      ...(beside ? { beside } : {}),
    },
    cautions: [
      ...(stands || why?.known !== false ? [] : [`${why.why} One value for each plot decides.`]),
      ...(result?.notes ?? []),
      ...(beside
        ? [
            `Another way to look at the same records says otherwise (${beside.title.toLowerCase()}): ${beside.says}${beside.says.endsWith('.') ? '' : '.'} The verdict does not go by it.`,
          ]
        : []),
    ],
  };
}

/** A trial that recorded days and nothing else. */
function daysVerdict(
  input: VerdictInput,
  base: Pick<Judgement['verdict'], 'departures' | 'worthHavingPercent'>,
): Judgement['verdict'] & { readonly method?: MethodUsed | undefined } {
  const { setting, design, choice, found } = input;
  const { claims, method, cautions: told } = weighed(input, []);
  const result = choice && resultIn(found, choice.used);
  if (result === undefined) {
    const said =
      choice === undefined
        ? 'This trial has no scores yet, so there is nothing to judge.'
        : 'Days are described here, not judged: see the cautions.';
    return { ...base, grade: 'no answer', sentence: said, reasons: [], cautions: told };
  }
  const { table } = setting;
  const evidence = weigh({
    replicated: setting.replicated,
    randomised: input.tally.trial.design.randomised,
    peakDisease: undefined,
    claims,
    smallestP: design.smallestP,
    fewestPlots: Math.min(
      ...table.treatment.levels.map(
        (_, code) => table.treatment.codes.filter((one) => one === code).length,
      ),
    ),
    lostShare: 0,
    strippingHides: false,
    worthHavingPercent: base.worthHavingPercent,
  });
  return {
    ...base,
    grade: evidence.grade,
    sentence: daysSentence(result.says, evidence.grade),
    reasons: testWords(claims, evidence, result.method),
    cautions: [
      ...told,
      ...(input.control.assumed
        ? [`No control was named; “${input.control.name}” was taken.`]
        : []),
    ],
    method,
  };
}

/**
 * Treatments that may be called although planned looks are still to come: those whose look passed
 * its bound, and whose p by the model is no larger than a single look may have here. Undefined
 * where no look is to come, or no number of rounds was planned.
 */
function stopsBefore(
  looks: Looks | undefined,
  claims: readonly Claim[],
): ReadonlySet<string> | undefined {
  if (looks === undefined || !looks.planned || looks.toCome === 0) return undefined;
  const nominal = looks.looks.at(-1)?.nominalP ?? 0;
  const passed = new Set(
    looks.looks.flatMap(({ versusControl }) =>
      versusControl.filter(({ stop }) => stop).map(({ name }) => name),
    ),
  );
  return new Set(
    claims
      .filter(({ name, pModel }) => passed.has(name) && pModel !== null && pModel <= nominal)
      .map(({ name }) => name),
  );
}

/**
 * Where the plan shares the error out over looks, the last one's p over all looks is what is left to
 * weigh by the layout, and the model's p is raised so that 0.05 stands where that look's own limit
 * does.
 */
function atLastLook(
  claims: readonly Claim[],
  { tally, looks }: Pick<VerdictInput, 'tally' | 'looks'>,
): readonly Claim[] {
  const last = looks?.looks.at(-1);
  if (tally.trial.plan?.looks === undefined || looks?.planned !== true || last === undefined) {
    return claims;
  }
  return claims.map((claim) => {
    const one = last.versusControl.find(({ name }) => name === claim.name);
    if (one === undefined || claim.pExact === null) return claim;
    const raised = last.nominalP > 0 ? 0.05 / last.nominalP : Infinity;
    const pModel = claim.pModel === null ? null : Math.min(1, claim.pModel * raised);
    return { ...claim, pExact: one.p, pModel };
  });
}

/** What is said of the trial in words, how firmly, and on which grounds. */
export function verdictOf(
  input: VerdictInput,
): Judgement['verdict'] & { readonly method?: MethodUsed | undefined } {
  const { tally, control, setting, analysed, values, design, options } = input;
  const { trial } = tally;
  const main = analysed[0];
  const id = values[0]?.id;
  const planned = options.worthHavingPercent ?? trial.plan?.smallestDifferencePercent;
  const worthHavingPercent = planned ?? worthHavingWithoutPlan;
  const base = { departures: departures(trial), worthHavingPercent };
  if (main === undefined || id === undefined) return daysVerdict(input, base);
  const { outcome } = main;
  const {
    claims,
    method,
    cautions: byMethod,
  } = weighed(input, atLastLook(claimsFor(main, input.scaled, control.name), input));
  const peak = peakDisease(tally, id, control.id);
  const told = [
    ...cautions({
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
    }),
    ...byMethod,
  ];
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
    stops: stopsBefore(input.looks, claims),
  });
  const shared = { evidence, outcome, control: control.name, claims, worthHavingPercent };
  return {
    ...base,
    grade: evidence.grade,
    sentence: sentence({ ...shared, peakDisease: peak }),
    reasons: reasons({ ...shared, design, method: method?.used ?? 'plots' }),
    cautions: told,
    method,
  };
}
