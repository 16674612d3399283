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
  /** Rounds of the plan are still to come. */
  readonly toCome: boolean;
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
  const all = [...(byPlots.length > 0 ? [plotsResult(byPlots, control.name)] : []), ...known];
  const others = all.filter(({ method }) => method !== used);
  const beside = besideOf(claims, others);
  return {
    claims,
    method: {
      ...choice,
      ...(stands
        ? {}
        : {
            asked: false,
            rule: 'The other way can’t be asked of these records, so one value for each plot decides.',
          }),
      used,
      offered,
      ...(options.brief === true
        ? {}
        : { results: [...all.filter(({ method }) => method === used), ...others] }),
      ...(beside ? { beside } : {}),
    },
    cautions: [
      ...(stands || why?.known !== false
        ? []
        : [`${why.why}${byPlots.length > 0 ? ' One value for each plot decides.' : ''}`]),
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
  const stops = stopsBefore(claims, input);
  const result = choice && resultIn(found, choice.used);
  if (result === undefined) {
    const said =
      choice === undefined
        ? 'This trial has no scores yet, so there is nothing to judge.'
        : setting.replicated
          ? 'Days are described here, not judged: see the cautions.'
          : 'With one plot of each treatment nobody can tell what the treatment did from what the ground did, so days are described here, not judged.';
    return { ...base, grade: 'no answer', sentence: said, reasons: [], cautions: told };
  }
  const { table } = setting;
  const timed = new Set(input.tally.trial.times.map(({ plot }) => plot));
  const watched = table.treatment.levels.map(
    (_, code) =>
      table.plots.filter((plot, i) => table.treatment.codes[i] === code && timed.has(plot)).length,
  );
  const evidence = weigh({
    replicated: setting.replicated,
    randomised: input.tally.trial.design.randomised,
    peakDisease: undefined,
    claims,
    smallestP: design.smallestP,
    fewestPlots: Math.min(...watched),
    lostShare: 1 - watched.reduce((sum, n) => sum + n, 0) / Math.max(1, table.plots.length),
    strippingHides: false,
    worthHavingPercent: base.worthHavingPercent,
    stops,
  });
  return {
    ...base,
    grade: evidence.grade,
    sentence: daysSentence(result.says, evidence.grade),
    reasons: testWords(claims, evidence, result.method),
    cautions: [
      ...heldBack(stops, evidence.rules[0]),
      ...told,
      ...(input.control.assumed
        ? [`No control was named; “${input.control.name}” was taken.`]
        : []),
    ],
    method,
  };
}

/** A claim as it is told, and as it is weighed. */
type Looked = { readonly told: readonly Claim[]; readonly weighed: readonly Claim[] };

/**
 * Where the plan shares the error out over looks and the last one was at the last round: its p over
 * all looks is what is left to weigh by the layout, and the model's p is weighed as much larger as
 * that look's own limit is below 0.05.
 */
function atLastLook(claims: readonly Claim[], { tally, looks, toCome }: VerdictInput): Looked {
  const last = looks?.looks.at(-1);
  const atEnd = last !== undefined && last.round === tally.timeline.rounds.at(-1)?.id;
  if (tally.trial.plan?.looks === undefined || looks?.planned !== true || toCome || !atEnd) {
    return { told: claims, weighed: claims };
  }
  const told = claims.map((claim) => {
    const one = last.versusControl.find(({ name }) => name === claim.name);
    if (one === undefined || claim.pExact === null) return claim;
    return { ...claim, pExact: Math.max(claim.pExact, one.p) };
  });
  const raised = last.nominalP > 0 ? 0.05 / last.nominalP : Infinity;
  const weighed = told.map((claim) => ({
    ...claim,
    pModel: claim.pModel === null ? null : Math.min(1, claim.pModel * raised),
  }));
  return { told, weighed };
}

/**
 * Treatments that may be called although planned rounds are still to come (or came after the last
 * look): those whose look passed its bound, and whose p by the model is no larger than one look may
 * have. None where the plan says nothing of looks: then nothing is called before its last round.
 * Undefined at the end, or where no number of rounds was planned.
 */
function stopsBefore(
  claims: readonly Claim[],
  { tally, looks, toCome }: VerdictInput,
): ReadonlySet<string> | undefined {
  const planned = tally.trial.plan?.looks !== undefined;
  const last = looks?.looks.at(-1);
  const after = planned && last !== undefined && last.round !== tally.timeline.rounds.at(-1)?.id;
  if (!toCome && !after) return undefined;
  if (!planned || last === undefined) return new Set();
  const passed = new Set(last.versusControl.filter(({ stop }) => stop).map(({ name }) => name));
  return new Set(
    claims
      .filter(({ name, pModel }) => passed.has(name) && pModel !== null && pModel <= last.nominalP)
      .map(({ name }) => name),
  );
}

const heldBack = (stops: ReadonlySet<string> | undefined, rule: string | undefined): string[] =>
  stops !== undefined && (rule === 'V11' || rule === 'V3')
    ? [
        'Rounds of the plan are still to come, or came after its last look, and no look that the plan allows has passed its bound: so no more than a hint.',
      ]
    : [];

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
  const ways = weighed(input, claimsFor(main, input.scaled, control.name));
  const { method } = ways;
  const stops = stopsBefore(ways.claims, input);
  const { told: claims, weighed: counted } = atLastLook(ways.claims, input);
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
    ...ways.cautions,
  ];
  if (setting.replicated && !setting.layout.judged) {
    const said = 'A trial laid out like this is described here, not judged: see the cautions.';
    return { ...base, grade: 'no answer', sentence: said, reasons: [], cautions: told };
  }
  const evidence = weigh({
    replicated: setting.replicated,
    randomised: trial.design.randomised,
    peakDisease: peak,
    claims: counted,
    smallestP: design.smallestP,
    fewestPlots: smallestPlots(outcome),
    lostShare: 1 - main.used / Math.max(1, setting.table.plots.length),
    strippingHides: strippingHides(tally, id),
    worthHavingPercent,
    stops,
    others: outcome.treatments.length - 1,
  });
  const shared = { evidence, outcome, control: control.name, claims, worthHavingPercent };
  return {
    ...base,
    grade: evidence.grade,
    sentence: sentence({ ...shared, peakDisease: peak }),
    reasons: reasons({ ...shared, design, method: method?.used ?? 'plots' }),
    cautions: [...heldBack(stops, evidence.rules[0]), ...told],
    method,
  };
}
