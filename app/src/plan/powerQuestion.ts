import { type GroundName, type PowerQuestion, unevennessOf, usualExpected } from '@fairbed/verdict';
import { isOutcomeId } from '@fairbed/trial';
import type { Plan } from './usePlan';

/** What the grower expects of the bed: kept beside the plan, part of no document. */
export type Guess = {
  readonly ground: GroundName;
  /** Percent diseased in the control at the last round. */
  readonly percent: number;
  /** Leaves counted on a plant. */
  readonly leaves: number;
};

export const usualGuess: Guess = {
  ground: 'usual',
  percent: usualExpected.percent,
  leaves: usualExpected.leaves,
};

export const grounds: readonly { readonly id: GroundName; readonly title: string }[] = [
  { id: 'even', title: 'Even: as in a well-kept field trial' },
  { id: 'usual', title: 'Usual: our guess of a home bed' },
  { id: 'patchy', title: 'Patchy: some plots three times as ill as others' },
];

const isGround = (value: unknown): value is GroundName => grounds.some(({ id }) => id === value);

const between = (value: unknown, least: number, most: number): value is number =>
  typeof value === 'number' && value >= least && value <= most;

/** Reads a guess that was kept; what has another shape counts as not made. */
export function readGuess(value: unknown): Guess {
  const { ground, percent, leaves } = (value ?? {}) as Readonly<Record<string, unknown>>;
  return {
    ground: isGround(ground) ? ground : usualGuess.ground,
    percent: between(percent, 1, 99) ? percent : usualGuess.percent,
    leaves: between(leaves, 1, 200) && Number.isInteger(leaves) ? leaves : usualGuess.leaves,
  };
}

/** A halving, where the plan does not say yet what difference would be worth having. */
export const usualDifference = 50;

const usualPlants = 5;
const usualRounds = { count: 4, everyDays: 7 };
/** One seed for all: the same plan has the same chance wherever it is worked out. */
const seed = 1;

/** Is the main outcome made of leaf area, and not of counted leaves? */
export const isSeverity = ({ values }: Plan): boolean =>
  values.outcome?.includes('severity') === true;

/** The question that the plan as it stands asks of simulated trials. */
export function powerQuestionOf(plan: Plan): PowerQuestion {
  const { request, values } = plan;
  const { percent, leaves, ground } = plan.more.guess;
  const { count, everyDays } = values.rounds ?? usualRounds;
  const { outcome } = values;
  const expected = isSeverity(plan)
    ? ({ kind: 'severity', percent } as const)
    : ({ kind: 'leaves', percent, leaves } as const);
  return {
    request,
    plantsPerPlot: values.plantsPerPlot ?? usualPlants,
    rounds: count,
    everyDays,
    expected,
    unevenness: unevennessOf(ground, expected.kind),
    differencePercent: values.worthHaving ?? usualDifference,
    ...(outcome !== undefined && isOutcomeId(outcome) ? { outcome } : {}),
    seed,
  };
}
