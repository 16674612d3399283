import {
  dunnett,
  fitLinear,
  layoutLooks,
  type LayoutLook,
  leastSquaresMeans,
  smallestDifferenceShare,
  spendingBounds,
  versusControl,
} from '@fairbed/stats';
import {
  type OutcomeId,
  plotValues,
  tabulate,
  type Tally,
  timelineOf,
  type Trial,
  upTo,
} from '@fairbed/trial';
import { layoutTerms, treatmentFactor, treatmentTerm } from './fit';
import type { Interval } from './judgement';
import type { Layout } from './layout';
import {
  type LookPlan,
  lookPlanOf,
  looksAlpha,
  type PlannedLook,
  spendingOf,
  spentBy,
  type SpendingWord,
  stopOf,
} from './look-plan';
import type { Modelled } from './modelled';
import type { PlotTable } from './table';

/** One look at the trial, by the rounds up to it. */
export type Look = {
  readonly round: string;
  /** Number of the round in the plan, from 1. */
  readonly number: number;
  readonly date: string | null;
  /** Largest difference of a treatment from the control, either way, in the outcome's unit. */
  readonly statistic: number;
  /** What it must reach to stop; null where nothing could be enough. */
  readonly bound: number | null;
  /** Chance of a false call that may have been spent by now. */
  readonly alphaSpent: number;
  /** Of it, what the layout could really spend: its p-values come in steps. */
  readonly alphaUsed: number;
  /** Over all looks so far; `stop` just when it is at most `alphaSpent`. */
  readonly p: number;
  /** As if this had been the only look, which is no ground for stopping. */
  readonly pAlone: number;
  /** What a plain p that rests on normal errors must be below at this look. */
  readonly nominalP: number;
  readonly stop: boolean;
  /** p and limits for all treatments and all looks together. */
  readonly versusControl: readonly (Interval & {
    readonly name: string;
    readonly difference: number | null;
    readonly p: number;
    readonly stop: boolean;
  })[];
};

export type Looks = {
  readonly looks: readonly Look[];
  readonly alpha: number;
  /** What later looks may still spend. */
  readonly alphaLeft: number;
  readonly spending: SpendingWord;
  /** Whether the number of rounds was planned; without, no look protects. */
  readonly planned: boolean;
  /** Looks in all, and how many of them are still to come. */
  readonly of: number;
  readonly toCome: number;
  /** Number of the first round that could stop this trial; null where none could. */
  readonly earliestRound: number | null;
  readonly layouts: number;
  readonly enumerated: boolean;
  readonly seed: number;
};

export type LooksInput = {
  /** The whole trial: looks that were not planned are counted by its rounds. */
  readonly trial: Trial;
  readonly table: PlotTable;
  readonly layout: Layout;
  readonly outcome: OutcomeId;
  /** Id of the round to look back from; the last when left out. */
  readonly look?: string | undefined;
  readonly seed: number;
  /** The tally as it stood after a round, where it is known already. */
  readonly tallyAt?: (round: string) => Tally | undefined;
  /** Leave out the limits, which take most of the time. */
  readonly withoutLimits?: boolean;
};

type Held = PlannedLook & { readonly round: NonNullable<PlannedLook['round']> };
type Seen = { readonly look: Held; readonly y: Float64Array };

/** Plot values at each look up to `look`; a look that can give none is left out. */
function valuesAt(input: LooksInput, plan: LookPlan): { seen: Seen[]; without: number[] } {
  const { trial, outcome, table, look } = input;
  const tallyAt = input.tallyAt ?? ((round: string) => tallyAfter(trial, round));
  const held = plan.looks.filter((one): one is Held => one.round !== undefined);
  const order = timelineOf(trial).rounds.map(({ id }) => id);
  const end = look === undefined ? order.length : order.indexOf(look) + 1;
  const seen: Seen[] = [];
  const without: number[] = [];
  for (const one of held) {
    if (one.round.baseline === true) continue;
    if (order.indexOf(one.round.id) >= end) continue;
    const tally = tallyAt(one.round.id);
    if (tally === undefined) continue;
    const { values } = plotValues(tally, outcome);
    const y = Float64Array.from(table.plots, (plot) => values.get(plot) ?? NaN);
    if (y.every((value) => Number.isNaN(value))) without.push(one.number);
    else seen.push({ look: one, y });
  }
  return { seen, without };
}

function tallyAfter(trial: Trial, round: string): Tally | undefined {
  const then = upTo(trial, round);
  return then && tabulate(then);
}

type Limits = ReadonlyMap<number, Interval & { readonly difference: number | null }>;

/**
 * Repeated limits of every difference from the control: Dunnett's, with the chance of a false call
 * that a single look of a normal statistic may have here (Jennison & Turnbull 2000, sections 3.4
 * and 9.2), so that they hold for all treatments and all looks together.
 */
function limitsOf(y: Float64Array, nominalP: number, { table, layout }: LooksInput): Limits {
  const kept = table.plots.flatMap((_, i) => (Number.isNaN(y[i] ?? NaN) ? [] : [i]));
  const response = {
    table,
    kept,
    y: Float64Array.from(kept, (i) => y[i] ?? 0),
    baseline: undefined,
  };
  const terms = [...layoutTerms(response, layout.latin), treatmentFactor(response)];
  const lsm = leastSquaresMeans(fitLinear({ y: response.y, terms }), treatmentTerm);
  const { comparisons, correlation, df, quantile } = versusControl(lsm, table.control);
  const reach =
    quantile === undefined || nominalP <= 0
      ? undefined
      : dunnett(correlation, df).quantile(1 - nominalP);
  const limits = new Map<number, Interval & { readonly difference: number | null }>();
  for (const { a, difference, se } of comparisons) {
    const half = reach === undefined || se === undefined ? undefined : reach * se;
    const known = difference !== undefined && half !== undefined;
    limits.set(a, {
      difference: difference ?? null,
      low: known ? difference - half : null,
      high: known ? difference + half : null,
    });
  }
  return limits;
}

function lookOf(
  { look, y }: Seen,
  found: LayoutLook,
  { input, nominalP }: { readonly input: LooksInput; readonly nominalP: number },
): Look {
  const limits = input.withoutLimits === true ? undefined : limitsOf(y, nominalP, input);
  return {
    round: look.round.id,
    number: look.number,
    date: look.round.day ?? null,
    statistic: found.statistic ?? 0,
    bound: found.bound ?? null,
    alphaSpent: found.spent,
    alphaUsed: found.called,
    p: found.p,
    pAlone: found.pAlone ?? 1,
    nominalP,
    stop: found.stop,
    versusControl: found.versusControl.map(({ treatment, statistic, p, called }) => {
      const known = limits?.get(treatment);
      return {
        name: input.table.treatment.levels[treatment] ?? '',
        difference: known?.difference ?? statistic ?? null,
        low: known?.low ?? null,
        high: known?.high ?? null,
        p,
        stop: called,
      };
    }),
  };
}

function notesOf(
  plan: LookPlan,
  without: readonly number[],
  stops: { readonly says: string } | undefined,
): string[] {
  return [
    ...(plan.planned
      ? []
      : [
          `No number of rounds was planned, so the looks are reckoned as if the ${plan.looks.length} held had been. Looks that nobody planned don’t protect: a trial can be stopped on the day that suits.`,
        ]),
    ...(without.length === 0
      ? []
      : [
          `After round ${without.join(', ')} the outcome can’t be worked out yet, so nothing was looked at or spent there.`,
        ]),
    ...(stops === undefined ? [] : [stops.says]),
  ];
}

/**
 * The looks at a trial so far, each by the rounds up to it, held against bounds that keep the chance
 * of a false call over all looks and treatments at 5 % (stats, `layoutLooks`: the same layouts at
 * every look). The looks and how the 5 % are shared out are the plan's; without, late, over the
 * rounds held. A look rests on nothing that came after it, so its bound stays as it was.
 *
 * How the verdict uses it: before the last planned look a treatment is called only where its `stop`
 * is true; at the last one `p` is what is left to weigh, in the place of the step-down p.
 */
export function looksOf(input: LooksInput): Modelled<Looks> {
  const { trial, table, layout, seed } = input;
  const plan = lookPlanOf(trial, timelineOf(trial));
  if (layout.set === undefined || !layout.judged) {
    return {
      known: false,
      why: 'The layout has no test of its own, so looks at it have no bounds.',
    };
  }
  const levels = table.treatment.levels.length;
  if (levels < 2 || table.plots.length <= levels) {
    return {
      known: false,
      why: 'One plot of each treatment leaves nothing to hold a look against.',
    };
  }
  const { seen, without } = valuesAt(input, plan);
  if (seen.length === 0) {
    return { known: false, why: 'No look has come yet at which the outcome can be worked out.' };
  }
  const labels = Uint8Array.from(table.treatment.codes);
  const plots = { labels, layouts: layout.set, treatments: levels, control: table.control };
  const found = layoutLooks({
    ...plots,
    looks: seen.map(({ look, y }) => ({ y, spent: spentBy(plan.spending, look.information) })),
    blocks: layout.adjust(table),
    seed,
  });
  const bounds = spendingBounds({
    information: seen.map(({ look }) => look.information),
    alpha: looksAlpha,
    spending: spendingOf(plan.spending),
  });
  const smallestP = smallestDifferenceShare(layout.set, labels, plots);
  const stops =
    smallestP === undefined
      ? undefined
      : stopOf(plan.looks, { smallestP, spending: plan.spending });
  const looks = seen.flatMap((one, k) => {
    const at = found.looks[k];
    return at ? [lookOf(one, at, { input, nominalP: bounds.nominalP[k] ?? 0 })] : [];
  });
  const last = seen.at(-1)?.look.number ?? 0;
  const value: Looks = {
    looks,
    alpha: looksAlpha,
    alphaLeft: Math.max(0, looksAlpha - (looks.at(-1)?.alphaUsed ?? 0)),
    spending: plan.spending,
    planned: plan.planned,
    of: plan.looks.length,
    toCome: plan.looks.filter(({ number }) => number > last).length,
    earliestRound: stops?.round ?? null,
    layouts: found.layouts,
    enumerated: found.enumerated,
    seed,
  };
  return { known: true, value, notes: notesOf(plan, without, stops) };
}
