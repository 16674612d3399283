import {
  abbottEfficacy,
  allPairs,
  type Comparison,
  type Efficacy,
  type Factor,
  fitLinear,
  leastSquaresMeans,
  type LeastSquaresMean,
  type LeastSquaresMeans,
  letters,
  type LinearFit,
  residualsOf,
  slope,
  type Term,
  type ValueResidual,
  versusControl,
} from '@fairbed/stats';
import type {
  AnovaRow,
  ControlComparison,
  MixedModel,
  Outcome,
  PairComparison,
  PlotResidual,
  TreatmentMean,
} from './judgement';
import { type Grouping, pick, type PlotTable } from './table';

/** The plots of one outcome that have a value, ready for least squares. */
export type Response = {
  readonly table: PlotTable;
  /** Places, in the table, of the plots that have a value. */
  readonly kept: readonly number[];
  readonly y: Float64Array;
  /** Values before treatment, one for each kept plot, where a baseline was asked for. */
  readonly baseline: Float64Array | undefined;
};

/** Name of the treatments' term in every fit. */
export const treatmentTerm = 'treatment';

/** A grouping of the plots as a term, for those that have a value. */
export const factor = (name: string, group: Grouping, kept: readonly number[]): Factor => ({
  kind: 'factor',
  name,
  ...pick(group, kept),
});

/** The terms that stand before the treatments: blocks, or rows and columns of a Latin square. */
export function layoutTerms({ table, kept }: Response, latin: boolean): Term[] {
  if (latin && table.row && table.column) {
    return [factor('row', table.row, kept), factor('column', table.column, kept)];
  }
  return table.block && table.block.levels.length > 1 ? [factor('block', table.block, kept)] : [];
}

export const treatmentFactor = ({ table, kept }: Response): Factor =>
  factor(treatmentTerm, table.treatment, kept);

const orNull = (value: number | undefined): number | null => value ?? null;

function anovaOf(fit: LinearFit): Outcome['anova'] {
  const rows = fit.anova.map(
    ({ source, df, ss, ms, f, p }): AnovaRow => ({
      source,
      df,
      ss,
      ms: orNull(ms),
      f: orNull(f),
      p: orNull(p),
    }),
  );
  return { rows, residualSd: fit.spread.known ? fit.spread.sd : null };
}

/** Residuals of a fit with the names of their plots. */
export const plotResidualsOf = (
  residuals: readonly ValueResidual[],
  { table, kept }: Response,
): PlotResidual[] =>
  residuals.map(({ fitted, residual, studentised, normalScore }, i) => ({
    plot: table.plots[kept[i] ?? -1] ?? '',
    fitted,
    residual,
    studentised: orNull(studentised),
    normalScore: orNull(normalScore),
  }));

type Names = readonly string[];

/** Means as the judgement writes them. */
export const meansOf = (means: readonly LeastSquaresMean[], names: Names): TreatmentMean[] =>
  means.map(({ estimate, se, low, high, plots }, i) => ({
    name: names[i] ?? '',
    mean: orNull(estimate),
    se: orNull(se),
    low: orNull(low),
    high: orNull(high),
    plots,
  }));

/** Differences from the control as the judgement writes them. */
export const versusOf = (comparisons: readonly Comparison[], names: Names): ControlComparison[] =>
  comparisons.map(({ a, difference, se, p, low, high }) => ({
    name: names[a] ?? '',
    difference: orNull(difference),
    se: orNull(se),
    low: orNull(low),
    high: orNull(high),
    p: orNull(p),
  }));

/** All pairs as the judgement writes them; those without an error are left out. */
export function pairsOf(comparisons: readonly Comparison[], names: Names): PairComparison[] {
  return comparisons.flatMap(({ a, b, difference, se, p, low, high }) =>
    difference === undefined || se === undefined || p === undefined
      ? []
      : [
          {
            a: names[a] ?? '',
            b: names[b] ?? '',
            difference,
            se,
            low: orNull(low),
            high: orNull(high),
            p,
          },
        ],
  );
}

/** A fitted outcome: the figures for the judgement, and the fit for whoever needs more of it. */
export type Fitted = {
  /** Slope of the baseline; undefined without one, or where it is alike in all plots. */
  readonly slope: number | undefined;
  /** Abbott's efficacy against the treatment of that place. */
  readonly abbott: (control: number) => readonly Efficacy[];
  /** Least-squares means, where least squares is what weighs them. */
  readonly lsm: LeastSquaresMeans | undefined;
  /** The Dunnett quantile of the intervals; undefined where there is no error to measure by. */
  readonly quantile: number | undefined;
  /** The 5 % point of the studentised range behind all pairs. */
  readonly rangeQuantile: number | undefined;
  /** How closely Dunnett's p could be computed; undefined where there is none. */
  readonly dunnett: 'exact' | 'lattice' | 'bound' | undefined;
  readonly anova: Outcome['anova'];
  /** The mixed model, where one stands in place of least squares. */
  readonly mixed: MixedModel | undefined;
  readonly residuals: readonly PlotResidual[];
  readonly treatments: readonly TreatmentMean[];
  readonly versusControl: readonly ControlComparison[];
  readonly allPairs: readonly PairComparison[];
  readonly letters: Readonly<Record<string, string>>;
};

/**
 * Analysis of variance, least-squares means, Dunnett, Tukey-Kramer and letters of plot values; with
 * `response.baseline` an analysis of covariance (layout, then baseline, then treatment).
 * `lowestFirst` puts the lowest mean at letter a.
 */
export function fitPlots(response: Response, latin: boolean, lowestFirst: boolean): Fitted {
  const { table, y, baseline } = response;
  const names = table.treatment.levels;
  const terms = layoutTerms(response, latin);
  if (baseline) terms.push({ kind: 'covariate', name: 'baseline', values: baseline });
  const fit = fitLinear({ y, terms: [...terms, treatmentFactor(response)] });
  const lsm = leastSquaresMeans(fit, treatmentTerm);
  const control = versusControl(lsm, table.control);
  const pairs = allPairs(lsm);
  const groups = letters({
    means: lsm.means.map(({ estimate }) => estimate),
    pairs: pairs.pairs,
    alpha: 0.05,
    lowestFirst,
  });
  return {
    slope: baseline && slope(fit, 'baseline').estimate,
    abbott: (code) => abbottEfficacy(lsm, code),
    lsm,
    quantile: control.quantile,
    rangeQuantile: pairs.quantile,
    dunnett: control.method,
    anova: anovaOf(fit),
    mixed: undefined,
    residuals: plotResidualsOf(residualsOf(fit), response),
    treatments: meansOf(lsm.means, names),
    versusControl: versusOf(control.comparisons, names),
    allPairs: pairsOf(pairs.pairs, names),
    letters: Object.fromEntries(names.map((name, i) => [name, groups[i] ?? ''])),
  };
}
