import { type Efficacy as Figures, hendersonTilton } from '@fairbed/stats';
import type { OutcomeId, PlotValues } from '@fairbed/trial';
import { type Fitted, fitPlots, type Response } from './fit';
import type { Efficacy, Outcome, TreatmentMean } from './judgement';
import { type LayoutTest, layoutTest } from './layout-test';
import type { Layout } from './layout';
import { fitByLayout } from './strata';
import { ranksOf } from './ranks';
import type { PlotTable } from './table';
import { tippingPoints } from './unreplicated';

/** What an outcome's analysis needs beside its values. */
export type OutcomeSetting = {
  readonly table: PlotTable;
  readonly layout: Layout;
  readonly replicated: boolean;
  readonly baseline: PlotValues | undefined;
  readonly seed: number;
  /** Make the layout's own test. */
  readonly exact: boolean;
};

/** An outcome's figures, and the parts that other findings are drawn from. */
export type Analysed = {
  readonly outcome: Outcome;
  readonly fitted: Fitted | undefined;
  readonly adjusted: Fitted | undefined;
  readonly test: LayoutTest | undefined;
  /** Plots that gave a value. */
  readonly used: number;
};

type Values = readonly (number | undefined)[];

const inOrder = (table: PlotTable, from: PlotValues): Values =>
  table.plots.map((plot) => from.values.get(plot));

function responseOf(table: PlotTable, values: Values, baseline: Values | undefined): Response {
  const kept = values.flatMap((value, i) =>
    value === undefined || (baseline !== undefined && baseline[i] === undefined) ? [] : [i],
  );
  const take = (from: Values): Float64Array => Float64Array.from(kept, (i) => from[i] ?? 0);
  return { table, kept, y: take(values), baseline: baseline && take(baseline) };
}

/** The plots of an outcome that have a value, laid out for a fit. */
export const responseFor = (values: PlotValues, { table }: OutcomeSetting): Response =>
  responseOf(table, inOrder(table, values), undefined);

const figuresOf = (method: Efficacy['method'], figures: readonly Figures[]): Efficacy[] =>
  figures.map(({ level, percent, low, high }) => ({
    name: level,
    method,
    percent: percent ?? null,
    low: low ?? null,
    high: high ?? null,
  }));

/** Measures that can be a percentage less than a control: amounts with a true zero, less is better. */
const hasEfficacy = ({ id, better }: PlotValues): boolean =>
  better === 'lower' && id !== 'stripped-total';

/** Was the baseline the same thing, measured earlier, so that a course before and after has sense? */
function sameMeasure(baseline: PlotValues, outcome: PlotValues): boolean {
  const stem = (id: OutcomeId): string => id.replace(/-(first|last)$/, '');
  if (baseline.id === 'baseline-value') return outcome.id === 'value-last';
  return baseline.id.endsWith('-first') && stem(baseline.id) === stem(outcome.id);
}

function efficacyOf(values: PlotValues, fitted: Fitted, setting: OutcomeSetting): Efficacy[] {
  const { control } = setting.table;
  if (!hasEfficacy(values)) return [];
  const abbott = figuresOf('abbott', fitted.abbott(control));
  const { baseline } = setting;
  if (baseline === undefined || !sameMeasure(baseline, values)) return abbott;
  const before = inOrder(setting.table, baseline);
  const after = inOrder(setting.table, values);
  const both = responseOf(setting.table, after, before);
  // Its interval rests on one error for all plots, which a split plot does not have.
  if (setting.layout.kind === 'split-plot') return abbott;
  const latin = setting.layout.latin;
  const lsmOf = (y: Float64Array) => fitPlots({ ...both, y, baseline: undefined }, latin, true).lsm;
  const [first, last] = [lsmOf(both.baseline ?? both.y), lsmOf(both.y)];
  const course = first && last ? hendersonTilton(first, last, control) : [];
  return [...abbott, ...figuresOf('henderson-tilton', course)];
}

/** Plain means where nothing more can be said of them: one plot of each treatment. */
function plainMeans({ treatment }: PlotTable, values: Values): TreatmentMean[] {
  return treatment.levels.map((name, code) => {
    const mine = values.filter((value, i) => value !== undefined && treatment.codes[i] === code);
    const sum = mine.reduce<number>((total, value) => total + (value ?? 0), 0);
    const mean = mine.length === 0 ? null : sum / mine.length;
    return { name, mean, se: null, low: null, high: null, plots: mine.length };
  });
}

function described(values: PlotValues, setting: OutcomeSetting): Outcome {
  const { table } = setting;
  const list = inOrder(table, values);
  return {
    id: values.id,
    title: values.title,
    unit: values.unit,
    better: values.better,
    plots: table.plots.map((plot, i) => ({
      plot,
      treatment: table.treatment.levels[table.treatment.codes[i] ?? 0] ?? '',
      block: table.block?.levels[table.block.codes[i] ?? 0] ?? null,
      value: list[i] ?? null,
    })),
    treatments: plainMeans(table, list),
  };
}

/** The layout's own test, adjusted for a baseline where one is given. */
function testOf(
  values: Values,
  setting: OutcomeSetting,
  baseline?: Values,
): LayoutTest | undefined {
  const { table, layout, seed, exact } = setting;
  if (!exact || layout.set === undefined) return undefined;
  const adjust = layout.adjust(table);
  return layoutTest({ table, values, layouts: layout.set, adjust, baseline, seed });
}

/**
 * Everything said of one outcome: plot values, analysis of variance, means, comparisons, the test
 * of the drawn layout, efficacy, and with a baseline the adjusted comparisons. One plot of each
 * treatment, or a design that is not judged here, is described only.
 */
export function analyse(values: PlotValues, setting: OutcomeSetting): Analysed {
  const { table, layout } = setting;
  const plain = described(values, setting);
  const list = inOrder(table, values);
  const used = list.filter((value) => value !== undefined).length;
  const nothing = { fitted: undefined, adjusted: undefined, test: undefined, used };
  if (!setting.replicated) {
    const tippingPoint = tippingPoints(plain.treatments, table.control);
    return { outcome: { ...plain, tippingPoint }, ...nothing };
  }
  if (!layout.judged || used < 2) return { outcome: plain, ...nothing };
  const lowestFirst = values.better === 'lower';
  const fitted = fitByLayout(responseOf(table, list, undefined), layout, lowestFirst);
  const before = setting.baseline && inOrder(table, setting.baseline);
  const response = before && responseOf(table, list, before);
  const adjusted =
    response && response.kept.length > 2 ? fitByLayout(response, layout, lowestFirst) : undefined;
  const test = testOf(list, setting);
  const adjustedTest = adjusted && before ? testOf(list, setting, before) : undefined;
  const outcome: Outcome = {
    ...plain,
    ...(fitted.anova ? { anova: fitted.anova } : {}),
    ...(fitted.mixed ? { mixed: fitted.mixed } : {}),
    residuals: fitted.residuals,
    treatments: fitted.treatments,
    versusControl: fitted.versusControl,
    allPairs: fitted.allPairs,
    letters: fitted.letters,
    criticalValues: {
      dunnett: fitted.quantile ?? null,
      studentizedRange: fitted.rangeQuantile ?? null,
    },
    ...ranksOf(table, layout, list),
    ...(test?.tested ? { exact: test.result } : {}),
    ...(adjusted
      ? {
          baselineAdjusted: {
            slope: adjusted.slope ?? null,
            ...(adjusted.anova ? { anova: adjusted.anova } : {}),
            residuals: adjusted.residuals,
            treatments: adjusted.treatments,
            versusControl: adjusted.versusControl,
            ...(adjustedTest?.tested ? { exact: adjustedTest.result } : {}),
          },
        }
      : {}),
    efficacy: efficacyOf(values, fitted, setting),
  };
  return { outcome, fitted, adjusted, test: adjustedTest ?? test, used };
}
