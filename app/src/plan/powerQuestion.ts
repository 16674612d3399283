import { type PowerQuestion, unevennessOf } from '@fairbed/verdict';
import { isOutcomeId } from '@fairbed/trial';
import type { Plan } from './usePlan';

/** A halving, where the plan names no difference that would be worth having. */
export const usualDifference = 50;

/** The difference worth having, percent; undefined where none is named, or any would be. */
export const namedDifference = ({ values }: Plan): number | undefined =>
  values.worthHaving === 0 ? undefined : values.worthHaving;

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
    differencePercent: namedDifference(plan) ?? usualDifference,
    ...(outcome !== undefined && isOutcomeId(outcome) ? { outcome } : {}),
    seed,
  };
}
