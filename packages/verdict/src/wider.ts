import type { Tally, Trial } from '@fairbed/trial';
import { type EarlierSpread, expectedFrom } from './earlier';
import { familyOf } from './family';
import type { Judgement } from './whole';
import { lookPlanOf } from './look-plan';
import { type Looks, looksOf } from './looks';
import type { MethodInput } from './method-input';
import type { Modelled } from './modelled';
import type { Analysed, OutcomeSetting } from './outcome';
import { rankingOf } from './ranking';
import { countTippingPoints, countTippingSays, leaningOn } from './unreplicated';

/** Parts of a judgement that decide nothing by themselves, with what must be said of them. */
export type Wider = {
  readonly parts: Pick<
    Judgement,
    'ranking' | 'rankingHow' | 'family' | 'earlier' | 'tippingByLeaves'
  >;
  readonly notes: readonly string[];
};

export type WiderInput = {
  readonly input: MethodInput;
  readonly setting: OutcomeSetting;
  readonly analysed: readonly Analysed[];
  readonly worthHavingPercent: number;
  readonly earlier: readonly EarlierSpread[] | undefined;
};

/** Behind claims over all outcomes, which decide nothing: a p near 0.05 is known to 0.0005. */
const familyDraws = 200_000;

const valueOf = <T>(found: Modelled<T>): T | undefined => (found.known ? found.value : undefined);

/** Leaves of every treatment's one plot at the last round, for tipping points by leaves. */
function leavesOf({ tally, table, outcome }: MethodInput) {
  const round = outcome?.id === 'incidence-last' ? outcome.last?.id : undefined;
  if (round === undefined) return [];
  return table.plots.flatMap((plot, i) => {
    const name = table.treatment.levels[table.treatment.codes[i] ?? -1];
    const mine = tally.trial.scores.filter((one) => one.round === round && one.plot === plot);
    const sum = (of: 'standing' | 'diseased'): number =>
      mine.reduce((total, score) => total + (score[of] ?? 0), 0);
    if (name === undefined) return [];
    return [{ name, diseased: sum('diseased'), leaves: sum('standing') }];
  });
}

/** One plot of each treatment: tipping points by leaves, and what earlier trials let expect. */
function single({ input, setting, analysed, earlier }: WiderInput): Wider {
  const outcome = analysed[0]?.outcome;
  if (outcome === undefined) return { parts: {}, notes: [] };
  const points = countTippingPoints(leavesOf(input), input.control);
  const says = countTippingSays(points);
  const expected = expectedFrom(earlier, outcome.id, 'outcome');
  const leaning =
    expected && leaningOn(outcome.treatments, setting.table.control, outcome.better, expected);
  return {
    parts: {
      ...(says === undefined ? {} : { tippingByLeaves: { points, says } }),
      ...(leaning ? { earlier: leaning } : {}),
    },
    notes: [],
  };
}

/**
 * The chance of each treatment, and all outcomes together. One plot of each treatment is held
 * against earlier trials, where there are any.
 */
export function widerOf(asked: WiderInput): Wider {
  const { input, setting, analysed, worthHavingPercent, earlier } = asked;
  const ranking = valueOf(rankingOf(input, { worthHavingPercent, earlier }));
  const ranked: Wider['parts'] = ranking ?? {};
  if (!setting.replicated) {
    const alone = single(asked);
    return { parts: { ...ranked, ...alone.parts }, notes: alone.notes };
  }
  const { layout, table } = setting;
  if (!layout.judged) return { parts: ranked, notes: [] };
  const family =
    layout.set === undefined || analysed.length < 2
      ? []
      : familyOf(
          analysed.map(({ outcome }) => ({
            id: outcome.id,
            values: outcome.plots.map(({ value }) => value ?? undefined),
          })),
          {
            table,
            layouts: layout.set,
            adjust: layout.adjust(table),
            seed: setting.seed,
            draws: familyDraws,
          },
        ).family;
  return {
    parts: {
      ...ranked,
      ...(family.length > 0 ? { family } : {}),
    },
    notes: [],
  };
}

/** What a judgement knows of looks at a running trial: every look, or that none is called for. */
export type LooksFound = {
  /** Rounds of the plan are still to come. */
  readonly toCome: boolean;
  readonly looks?: Looks;
  readonly notes: readonly string[];
};

export type LooksAsked = {
  readonly input: MethodInput;
  readonly brief: boolean;
  /** A round before the last one was asked for. */
  readonly early: boolean;
};

/**
 * The looks so far. In brief only where the verdict hangs on them: rounds of the plan are still to
 * come, or the plan says how the error is shared out over looks.
 */
export function looksFor(
  whole: Trial,
  { input, brief, early }: LooksAsked,
  tallyAt: (round: string) => Tally | undefined,
): LooksFound {
  const { tally, table, layout, outcome, seed } = input;
  const last = tally.timeline.rounds.at(-1)?.id;
  const plan = lookPlanOf(whole, tally.timeline);
  const toCome = plan.planned && plan.looks.some(({ round }) => round === undefined);
  const decides = early || toCome || whole.plan?.looks !== undefined;
  const none = { toCome, notes: [] };
  if (outcome === undefined || (!decides && (brief || plan.looks.length < 2))) return none;
  const found = looksOf({
    trial: whole,
    table,
    layout,
    outcome: outcome.id,
    look: last,
    seed,
    tallyAt,
    withoutLimits: brief,
  });
  return found.known ? { toCome, looks: found.value, notes: decides ? found.notes : [] } : none;
}
