import { type LayoutSet, stepDownFamily } from '@fairbed/stats';
import type { FamilyClaim } from './judgement';
import type { PlotTable } from './table';

export type FamilyOutcome = {
  readonly id: string;
  /** One value for every plot of the table; undefined for a lost one. */
  readonly values: readonly (number | undefined)[];
};

export type FamilyInput = {
  readonly table: PlotTable;
  readonly layouts: LayoutSet;
  /** Groupings the differences are adjusted for: blocks, or rows and columns. */
  readonly adjust: readonly Int32Array[];
  readonly seed: number;
  /** Random layouts where there are too many to visit all; a million unless told. */
  readonly draws?: number;
};

/** Claims over all outcomes together, and how they were come by. */
export type FamilyResult = {
  readonly family: readonly FamilyClaim[];
  /** Layouts behind it, decimal text. */
  readonly layouts: string;
  readonly enumerated: boolean;
  readonly seed?: number;
};

/** At least one treatment beside the control has values, and the control too. */
const comparable = ({ values }: FamilyOutcome, { treatment, control }: PlotTable): boolean => {
  const seen = new Set(
    values.flatMap((value, i) => (value === undefined ? [] : [treatment.codes[i]])),
  );
  return seen.has(control) && seen.size > 1;
};

/**
 * Which treatments differ from the control in which outcomes, when all of them are asked about at
 * once: step-down p over every treatment and outcome by the layout's own test (stats,
 * `stepDownFamily`). Outcomes without a value for the control are left out; empty where nothing is
 * left to compare.
 */
export function familyOf(outcomes: readonly FamilyOutcome[], input: FamilyInput): FamilyResult {
  const { table, layouts, adjust, seed, draws } = input;
  const { levels, codes } = table.treatment;
  const asked = outcomes.filter((outcome) => comparable(outcome, table));
  if (asked.length === 0 || levels.length < 2)
    return { family: [], layouts: '0', enumerated: true };
  const found = stepDownFamily({
    values: asked.map(({ values }) => Float64Array.from(values, (value) => value ?? Number.NaN)),
    labels: Uint8Array.from(codes),
    layouts,
    treatments: levels.length,
    control: table.control,
    blocks: adjust,
    seed,
    ...(draws === undefined ? {} : { draws }),
  });
  return {
    family: found.members.map(({ outcome, treatment, statistic, p, pStepDown }) => ({
      outcome: asked[outcome]?.id ?? '',
      name: levels[treatment] ?? '',
      statistic,
      p,
      pStepDown,
    })),
    layouts: found.layouts.toString(),
    enumerated: found.enumerated,
    ...(found.enumerated ? {} : { seed: found.seed }),
  };
}
