import { measureOf, type OutcomeId, type Tally, timelineOf } from '@fairbed/trial';
import { leavesMethod } from './counts';
import { daysMethod } from './days';
import type { Claim } from './evidence';
import { gradesMethod } from './grades';
import type { MethodId, MethodResult, MethodUsed } from './judgement';
import type { MethodInput } from './method-input';
import type { Modelled } from './modelled';
import { figure, listed } from './numbers';
import { weeksMethod } from './weeks';

/** Every method by name, as a grower chooses among them. */
const titles: Readonly<Record<MethodId, string>> = {
  plots: 'One value a plot',
  leaves: 'Leaves, counted',
  grades: 'Grades, in their order',
  weeks: 'All rounds together',
  days: 'Days until it happened',
};

const others: Readonly<Record<OtherMethod, (input: MethodInput) => Modelled<MethodResult>>> = {
  leaves: leavesMethod,
  grades: gradesMethod,
  weeks: weeksMethod,
  days: daysMethod,
};

export type OtherMethod = Exclude<MethodId, 'plots'>;

/** What a method gave, or why it could not be asked. */
export type FoundMethod = { readonly method: OtherMethod; readonly found: Modelled<MethodResult> };

export type MethodChoice = Pick<MethodUsed, 'used' | 'rule' | 'asked' | 'offered'>;

export type MethodQuestion = {
  readonly tally: Tally;
  /** The outcome to judge by; undefined where the trial has none. */
  readonly outcome: OutcomeId | undefined;
  readonly asked: MethodId | undefined;
};

/** Methods that this kind of data can carry, the one of the rule first. */
function carried(tally: Tally, outcome: OutcomeId | undefined): MethodId[] {
  if (outcome === undefined) return tally.trial.times.length > 0 ? ['days'] : [];
  const measure = measureOf(tally, outcome);
  const sharesOfLeaves = measure === 'incidence';
  const rounds = timelineOf(tally.trial).rounds.length;
  return [
    'plots',
    ...(outcome === 'incidence-last' ? (['leaves'] as const) : []),
    ...(outcome === 'grade-index-last' ? (['grades'] as const) : []),
    ...(rounds > 2 && (sharesOfLeaves || measure === 'severity' || measure === 'value')
      ? (['weeks'] as const)
      : []),
    ...(outcome === 'onset-days' || tally.trial.times.length > 0 ? (['days'] as const) : []),
  ];
}

/**
 * Which method decides (docs/methods.md, "Which method decides?"): what was asked for by hand, else
 * what the sealed plan says, else one value a plot, since plots are what was drawn; days where they
 * are all there is. Never by what a method finds. Undefined where there is nothing to judge.
 */
export function chooseMethod({ tally, outcome, asked }: MethodQuestion): MethodChoice | undefined {
  const possible = carried(tally, outcome);
  const usual = possible[0];
  if (usual === undefined) return undefined;
  const planned = tally.trial.plan?.judgedBy;
  const byPlan = planned !== undefined && possible.includes(planned) ? planned : undefined;
  const ruled = byPlan ?? usual;
  const offered = [ruled, ...possible.filter((id) => id !== ruled)].map((id) => ({
    id,
    title: titles[id],
  }));
  const said = (id: MethodId): string => titles[id].toLowerCase();
  const usually =
    usual === 'days'
      ? 'Days are all this trial recorded, so they decide.'
      : 'Plots are what was drawn, so one value for each plot decides.';
  const missed = [asked, byPlan === undefined ? planned : undefined].find(
    (id) => id !== undefined && !possible.includes(id),
  );
  const why =
    missed !== undefined
      ? `${missed === asked ? 'Asked for' : 'The plan says'}: ${said(missed)}. These records can’t carry that. ${usually}`
      : byPlan === undefined
        ? usually
        : `The plan says so: ${said(byPlan)}.`;
  if (asked === undefined || asked === ruled || !possible.includes(asked)) {
    return { used: ruled, rule: why, asked: false, offered };
  }
  const instead = `Chosen by hand. By the rule it would be: ${said(ruled)}.`;
  return { used: asked, rule: instead, asked: true, offered };
}

/** What a method other than one value a plot finds, or why it can't be asked. */
export const resultOf = (method: OtherMethod, input: MethodInput): Modelled<MethodResult> =>
  others[method](input);

/**
 * The comparisons that the verdict weighs when another method than one value a plot decides: its
 * p-values, with the layout's own where it has one (of its own statistic, else of the plot values).
 * How much less disease there was stays that of the plot values, where there are any; a treatment
 * that the two put on different sides is not told apart.
 */
export function claimsByMethod(result: MethodResult, byPlots: readonly Claim[]): Claim[] {
  return result.versusControl.flatMap(({ name, estimate, p, pExact, better }): Claim[] => {
    if (estimate === null) return [];
    const plot = byPlots.find((claim) => claim.name === name);
    const side = better === null ? 0 : better ? 1 : -1;
    if (plot === undefined) {
      const size = result.none === 1 ? Math.abs(Math.log(estimate)) : Math.abs(estimate);
      const none = { benefit: null, low: null, high: null };
      return [{ name, ...none, gain: side * size, pModel: p, pExact: pExact ?? null }];
    }
    if (side !== 0 && plot.gain !== 0 && Math.sign(plot.gain) !== side) {
      return [{ ...plot, pModel: null, pExact: null }];
    }
    return [{ ...plot, pModel: p, pExact: pExact === undefined ? plot.pExact : pExact }];
  });
}

/** One value a plot as a method among others, from the claims it makes. */
export function plotsResult(claims: readonly Claim[], control: string): MethodResult {
  const called = claims.filter(({ pModel, pExact }) => calls([pModel, pExact]));
  const amount = ({ name, benefit, low, high }: Claim): string =>
    benefit === null || low === null || high === null
      ? name
      : `${name} ${figure(benefit)} % better (${figure(low)} to ${figure(high)})`;
  return {
    method: 'plots',
    title: titles.plots,
    says:
      called.length === 0
        ? `No treatment could be told from ${control}.`
        : `Told apart from ${control}, in percent of it: ${listed(called.map(amount))}.`,
    measure: 'better by, percent of the control',
    none: 0,
    p: null,
    versusControl: claims.map(({ name, benefit, low, high, gain, pModel, pExact }) => ({
      name,
      estimate: benefit,
      low,
      high,
      p: pModel,
      ...(pExact === null ? {} : { pExact }),
      better: gain === 0 ? null : gain > 0,
    })),
    notes: [],
  };
}

const level = 0.05;
const calls = (p: readonly (number | null | undefined)[]): boolean => {
  const known = p.filter((one): one is number => typeof one === 'number');
  return known.length > 0 && Math.max(...known) <= level;
};

/** The first method that calls a treatment which the deciding claims do not, or the other way round. */
export function besideOf(
  decided: readonly Claim[],
  results: readonly MethodResult[],
): MethodResult | undefined {
  return results.find(({ versusControl }) =>
    versusControl.some(({ name, p, pExact, better }) => {
      const claim = decided.find((one) => one.name === name);
      if (claim === undefined || p === null) return false;
      const mine = calls([claim.pModel, claim.pExact]);
      const theirs = calls([p, pExact]);
      const side = better === null ? 0 : better ? 1 : -1;
      return mine !== theirs || (mine && side !== 0 && side !== Math.sign(claim.gain));
    }),
  );
}
