import { alphaSpent, earliestLook, type Spending } from '@fairbed/stats';
import { type Round, scheduleOf, type Timeline, type Trial } from '@fairbed/trial';

/** How the chance of a false call is shared out over the looks, in a grower's word. */
export type SpendingWord = NonNullable<NonNullable<Trial['plan']>['looks']>['spending'];

/**
 * Hardly anything early, nearly all for the end: recommended, since the last look then needs hardly
 * more than a single look would, and disease shows its differences late.
 */
export const recommendedSpending: SpendingWord = 'late';

const spendings: Readonly<Record<SpendingWord, Spending>> = {
  late: { kind: 'obrien-fleming' },
  early: { kind: 'pocock' },
  even: { kind: 'power', exponent: 1 },
};

/** Chance of a false call over all looks together. */
export const looksAlpha = 0.05;

/** What may be spent by the time the share `information` of the rounds is in. */
export const spentBy = (word: SpendingWord, information: number): number =>
  alphaSpent(spendings[word], information, looksAlpha);

export const spendingOf = (word: SpendingWord): Spending => spendings[word];

/** A look of the plan, held or not. */
export type PlannedLook = {
  /** Number of the round, from 1. */
  readonly number: number;
  /** Share of the rounds up to the last look that are in by then. */
  readonly information: number;
  readonly round: Round | undefined;
};

export type LookPlan = {
  readonly spending: SpendingWord;
  /** False where no number of rounds was planned: the rounds held then stand for the plan. */
  readonly planned: boolean;
  readonly looks: readonly PlannedLook[];
};

type Numbered = { readonly number: number; readonly round: Round | undefined };

const asPlanned = (numbered: readonly Numbered[], only: readonly number[] | undefined) => {
  const wanted = numbered.filter(({ number }) => only?.includes(number) ?? true);
  // A plan that names rounds it does not have is looked at after those it has.
  const looks = wanted.length === 0 ? numbered : wanted;
  const last = looks.at(-1)?.number ?? 1;
  return looks.map(({ number, round }) => ({ number, round, information: number / last }));
};

/** Which held round stands for which planned one: by their days, or in order where they have none. */
function numberedRounds(
  plan: NonNullable<NonNullable<Trial['plan']>['rounds']>,
  { rounds, clock }: Timeline,
): Numbered[] {
  const dated = rounds.flatMap(({ id, day }) => (day === undefined ? [] : [{ id, day }]));
  const schedule = clock === 'dates' ? scheduleOf(plan, dated) : undefined;
  return Array.from({ length: plan.count }, (_, i) => {
    const held = schedule?.planned[i]?.held?.id;
    const round = schedule ? rounds.find(({ id }) => id === held) : rounds[i];
    return { number: i + 1, round };
  });
}

/**
 * The looks of a trial: those of its plan, each with the round that was held for it. Where no
 * number of rounds was planned, one after every round held after the baseline.
 */
export function lookPlanOf({ plan }: Trial, timeline: Timeline): LookPlan {
  const spending = plan?.looks?.spending ?? recommendedSpending;
  const only = plan?.looks?.rounds;
  if (plan?.rounds !== undefined) {
    return {
      spending,
      planned: true,
      looks: asPlanned(numberedRounds(plan.rounds, timeline), only),
    };
  }
  const after = timeline.rounds.filter(({ baseline }) => baseline !== true);
  const numbered = after.map((round, i) => ({ number: i + 1, round }));
  return { spending, planned: false, looks: asPlanned(numbered, only) };
}

/** What the layout and the plan together say of stopping early. */
export type EarliestStop = {
  /** Number of the first round after which the trial can stop; undefined where none is. */
  readonly round: number | undefined;
  readonly says: string;
};

/**
 * The first round at which a planned trial can stop, whatever it shows then: where what may be
 * spent reaches the smallest p of its layout. For the page that plans: it needs no scores.
 */
export function earliestStop(request: {
  readonly smallestP: number;
  /** Rounds planned. */
  readonly rounds: number;
  readonly looks?: NonNullable<Trial['plan']>['looks'];
}): EarliestStop {
  const { smallestP, rounds, looks } = request;
  const numbered = Array.from({ length: rounds }, (_, i) => ({ number: i + 1, round: undefined }));
  return stopOf(asPlanned(numbered, looks?.rounds), {
    smallestP,
    spending: looks?.spending ?? recommendedSpending,
  });
}

/** The same for looks that are known. */
export function stopOf(
  looks: readonly Pick<PlannedLook, 'number' | 'information'>[],
  { smallestP, spending }: { readonly smallestP: number; readonly spending: SpendingWord },
): EarliestStop {
  const spent = looks.map(({ information }) => spentBy(spending, information));
  const found = earliestLook(smallestP, spent);
  const last = looks.at(-1)?.number;
  if (found === undefined) {
    const says = 'This layout is too small: however clear the result, no look can stop the trial.';
    return { round: undefined, says };
  }
  const round = looks[found]?.number;
  if (round === last) {
    return {
      round,
      says: `With this layout no look before the last, after round ${last ?? ''}, can call a winner.`,
    };
  }
  const says =
    found === 0
      ? `The first look, after round ${round ?? ''}, can already call a winner if the result is very clear.`
      : `With this layout no look before round ${round ?? ''} can call a winner, however clear the result.`;
  return { round, says };
}
