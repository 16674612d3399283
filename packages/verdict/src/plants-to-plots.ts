import { fitLinear, type PlotDegrees, scoresByPlot } from '@fairbed/stats';
import type { ExactResult } from './judgement';
import { type LayoutTest, layoutTest } from './layout-test';
import type { MethodInput } from './method-input';
import { type Grouping, pick, type PlotTable } from './table';

type Ground = Pick<MethodInput, 'table' | 'layout' | 'seed'>;

/** Place in the table of each plot named; -1 where it has none. */
export function placesOf({ plots }: PlotTable, ids: readonly string[]): Int32Array {
  const places = new Map(plots.map((id, i) => [id, i]));
  return Int32Array.from(ids, (id) => places.get(id) ?? -1);
}

/** Names that the random groupings above a plot go by. */
export const abovePlot = ['block', 'row', 'column'] as const;

/** The groupings of the plots above the plot itself, as the layout has them. */
export function groupingsAbove({ table, layout }: Pick<Ground, 'table' | 'layout'>) {
  const named = layout.latin
    ? ([
        ['row', table.row],
        ['column', table.column],
      ] as const)
    : ([['block', table.block]] as const);
  return named.flatMap(([name, grouping]) =>
    grouping && grouping.levels.length > 1 ? [{ name, grouping }] : [],
  );
}

/** Said where grades or days would need two errors, of whole plots and of plots. */
export const splitPlotWhy =
  'In a split plot grades and days are described, not compared: practices and treatments have different errors. The plots decide.';

const isSplit = ({ layout }: Pick<Ground, 'layout'>): boolean => layout.kind === 'split-plot';

/** The block of each value, where the layout has blocks to rank within. */
export const blockOf = (
  { table, layout }: Pick<Ground, 'table' | 'layout'>,
  plots: Int32Array,
): Int32Array | undefined =>
  layout.latin || !table.block || table.block.levels.length < 2
    ? undefined
    : pick(table.block, [...plots]).codes;

/**
 * The layout's own test of scores of plants, brought together by plot: labels move from plot to
 * plot and the plants of a plot go along. `plots` holds each score's plot, by its place.
 */
export function testByPlots(
  { table, layout, seed }: Ground,
  scores: ArrayLike<number>,
  plots: Int32Array,
  by: 'sum' | 'mean',
): LayoutTest {
  if (isSplit({ layout })) return { tested: false, why: splitPlotWhy };
  if (layout.set === undefined)
    return { tested: false, why: 'This layout has no test of its own.' };
  const values = scoresByPlot(scores, plots, table.plots.length, by);
  return layoutTest({
    table,
    values: Array.from(values, (value) => (Number.isNaN(value) ? undefined : value)),
    layouts: layout.set,
    adjust: layout.adjust(table),
    seed,
  });
}

/** What a test of the layout says of a treatment, and whether it could have said anything. */
export type ByLayout = {
  /** The layout's result, where it can go below 0.05. */
  readonly decisive: ExactResult | undefined;
  readonly result: ExactResult | undefined;
  readonly stepDown: (name: string) => number | null;
  readonly notes: readonly string[];
};

export function byLayout(test: LayoutTest): ByLayout {
  if (!test.tested) {
    return { decisive: undefined, result: undefined, stepDown: () => null, notes: [test.why] };
  }
  const { result, smallestP } = test;
  const able = smallestP <= 0.05;
  return {
    decisive: able ? result : undefined,
    result,
    stepDown: (name) => result.versusControl.find((one) => one.name === name)?.pStepDown ?? null,
    notes: able
      ? []
      : [
          'This layout has too few arrangements to give a p below 0.05 by itself; p is the model’s.',
        ],
  };
}

const factor = (name: string, { levels, codes }: Grouping, plots: readonly number[]) => {
  const present = [...new Set(plots.map((i) => codes[i]))].sort((a, b) => (a ?? 0) - (b ?? 0));
  return {
    kind: 'factor' as const,
    name,
    codes: plots.map((i) => present.indexOf(codes[i])),
    levels: present.map((code) => levels[code ?? 0] ?? ''),
  };
};

/**
 * Plots with a score and the error degrees of freedom that they leave; undefined where none, and in
 * a split plot, which has two kinds.
 */
export function plotDegrees(
  ground: Pick<Ground, 'table' | 'layout'>,
  plots: Int32Array,
): PlotDegrees | undefined {
  if (isSplit(ground)) return undefined;
  const used = [...new Set(plots)].sort((a, b) => a - b);
  const terms = [
    ...groupingsAbove(ground).map(({ name, grouping }) => factor(name, grouping, used)),
    factor('treatment', ground.table.treatment, used),
  ];
  if (terms.some(({ levels }) => levels.length < 2)) return undefined;
  const { df } = fitLinear({ y: used, terms }).spread;
  return df < 1 ? undefined : { plots: used.length, error: df, above: [...abovePlot] };
}
