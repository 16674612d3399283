import {
  exactTest,
  type ExactTest,
  type LayoutSet,
  splitPlotTest,
  stepDownFamily,
  type StratumTest,
} from '@fairbed/stats';
import type { ExactResult, StratumResult } from './judgement';
import { practicesOf } from './practices';
import type { PlotTable } from './table';

export type LayoutTestInput = {
  readonly table: PlotTable;
  /** One value for every plot of the table; undefined for a lost one. */
  readonly values: readonly (number | undefined)[];
  readonly layouts: LayoutSet;
  /** Groupings the F statistic is adjusted for: blocks, or rows and columns. */
  readonly adjust: readonly Int32Array[];
  /** Of every plot, its value before treatment, to adjust for; undefined where it has none. */
  readonly baseline?: readonly (number | undefined)[] | undefined;
  readonly seed: number;
};

/** What the layout's own test gave, or why there is none. */
export type LayoutTest =
  | { readonly tested: true; readonly result: ExactResult; readonly smallestP: number }
  | { readonly tested: false; readonly why: string };

const whyNot: Readonly<Record<string, string>> = {
  'no-spread': 'The plot values are all alike, so the layout has nothing to test.',
  'no-error-df': 'Blocks and treatments use up all plots, so the layout can’t be tested.',
  'one-layout': 'The draw could have given no other layout, so there is nothing to test against.',
};

/**
 * The exact test of the layout that was drawn (stats, `exactTest`), with the treatments of the
 * trial that stand in at least one plot; with a baseline, of F and differences adjusted for it.
 * Intervals come from exchanging one treatment with the control only; null where this layout can't
 * bound them at 5 %. A split plot has the tests of its strata besides (stats, `splitPlotTest`), and
 * its comparisons are weighed by how much each varies over the layouts.
 */
export function layoutTest(input: LayoutTestInput): LayoutTest {
  const { table, values, layouts, adjust, baseline, seed } = input;
  const { levels, codes } = table.treatment;
  const shared = {
    ...(baseline === undefined ? {} : { covariates: [baseline.map((value) => value ?? 0)] }),
    labels: Uint8Array.from(codes),
    layouts,
    treatments: levels.length,
    control: table.control,
    blocks: adjust,
    seed,
  };
  const y = Float64Array.from(values, (value, i) =>
    baseline !== undefined && baseline[i] === undefined ? Number.NaN : (value ?? Number.NaN),
  );
  const isSplit = layouts.kind === 'draw' && layouts.wholePlots !== undefined;
  // Layouts of a split plot are scored one by one, so a second is soon spent on them.
  const budget = isSplit ? { maxLayouts: 100_000, draws: 100_000 } : {};
  const test = exactTest({ ...shared, ...budget, y, pairs: !isSplit });
  if (test.kind === 'refused') return { tested: false, why: whyNot[test.reason] ?? '' };
  const result = resultOf(test, levels);
  if (!isSplit) return { tested: true, smallestP: test.smallestP, result };
  const { members } = stepDownFamily({ ...shared, values: [y] });
  const strata = baseline === undefined ? strataOf(input, y) : undefined;
  return {
    tested: true,
    smallestP: test.smallestP,
    result: {
      ...result,
      ...(strata === undefined ? {} : { strata }),
      versusControl: members.map(({ treatment, p, pStepDown }) => ({
        name: levels[treatment] ?? '',
        p,
        pStepDown,
        low: null,
        high: null,
      })),
    },
  };
}

const stratumOf = (test: StratumTest): StratumResult | null =>
  test.kind === 'refused'
    ? null
    : {
        p: test.p,
        smallestP: test.smallestP,
        layouts: test.layouts.toString(),
        enumerated: test.enumerated,
      };

/** Practices, treatments within them and both together, each by the layouts that answer it. */
function strataOf({ table, layouts, seed }: LayoutTestInput, y: Float64Array) {
  const practices = practicesOf(table);
  if (practices === undefined || layouts.kind !== 'draw' || layouts.wholePlots === undefined)
    return undefined;
  const test = splitPlotTest({
    y,
    wholePlots: layouts.wholePlots,
    treatment: table.treatment.codes,
    practice: practices.practice.codes,
    ...(practices.within === undefined ? {} : { within: practices.within.codes }),
    seed,
  });
  return {
    practice: stratumOf(test.practice),
    within: stratumOf(test.within),
    interaction: stratumOf(test.interaction),
  };
}

function resultOf(test: ExactTest, names: readonly string[]): ExactResult {
  return {
    statistic: 'F',
    observed: test.observed,
    layouts: test.layouts.toString(),
    enumerated: test.enumerated,
    ...(test.enumerated ? {} : { seed: test.seed }),
    p: test.p,
    versusControl: (test.versusControl ?? []).map(({ treatment, p, pStepDown, pair }) => ({
      name: names[treatment] ?? '',
      p,
      pStepDown,
      low: pair.low,
      high: pair.high,
    })),
  };
}
