import {
  letters,
  type Precision,
  precisionOf,
  fitReml,
  remlAbbott,
  remlAllPairs,
  type RemlComparison,
  remlContrasts,
  type RemlFit,
  type RemlInput,
  remlMeans,
  remlResiduals,
  remlVersusControl,
} from '@fairbed/stats';
import {
  type Fitted,
  meansOf,
  pairsOf,
  plotResidualsOf,
  type Response,
  treatmentTerm,
  versusOf,
} from './fit';
import type { MixedModel, Outcome } from './judgement';

/** A mixed model of plot values with its tests. */
export type MixedFit = { readonly fit: RemlFit; readonly precision: Precision };

/** Fits by REML with Kenward and Roger's precision; undefined where no variation is known. */
export function fitMixed(input: RemlInput): MixedFit | undefined {
  const fit = fitReml(input);
  return fit.known ? { fit, precision: precisionOf(fit, 'kenward-roger') } : undefined;
}

/** Variances as standard deviations; null for one that came out below zero. */
export const mixedFigures = ({ fit }: MixedFit): MixedModel => ({
  method: 'REML',
  degreesOfFreedom: 'Kenward-Roger',
  sd: Object.fromEntries([
    ...fit.components.map(({ name, sd }) => [name, sd ?? null] as const),
    ['residual', fit.residual.sd] as const,
  ]),
});

/** What a comparison keeps where its error can't be known: the difference alone. */
const withoutError = (one: RemlComparison): RemlComparison => ({
  ...one,
  se: undefined,
  t: undefined,
  p: undefined,
  low: undefined,
  high: undefined,
});

export type MixedQuestion = {
  readonly response: Response;
  readonly mixed: MixedFit;
  readonly anova: Outcome['anova'];
  readonly lowestFirst: boolean;
  /** Whether two treatments can be compared: false where their difference has no error here. */
  readonly comparable: (a: number, b: number) => boolean;
};

const same = (values: readonly number[]): number | undefined =>
  values.every((value) => Math.abs(value / (values[0] ?? 1) - 1) < 1e-9) ? values[0] : undefined;

/** Means, comparisons and letters of treatments by a mixed model. */
export function mixedFitted(question: MixedQuestion): Fitted {
  const { response, mixed, anova, lowestFirst, comparable } = question;
  const { table } = response;
  const names = table.treatment.levels;
  const means = remlMeans(mixed.precision, treatmentTerm);
  const known = (one: RemlComparison): RemlComparison =>
    comparable(one.a, one.b) ? one : withoutError(one);
  const control = remlVersusControl(means, table.control);
  const pairs = remlAllPairs(means).pairs.map(known);
  const slope = mixed.fit.linear.design.terms.some(({ term }) => term.name === 'baseline')
    ? baselineSlope(mixed)
    : undefined;
  const groups = letters({
    means: means.means.map(({ estimate }) => estimate),
    pairs,
    alpha: 0.05,
    lowestFirst,
  });
  return {
    slope,
    abbott: (code) =>
      remlAbbott(means, code).filter(({ level }) => comparable(names.indexOf(level), code)),
    lsm: undefined,
    quantile: same(control.quantiles.map(({ quantile }) => quantile)),
    rangeQuantile: undefined,
    dunnett: control.method,
    anova,
    mixed: mixedFigures(mixed),
    residuals: plotResidualsOf(remlResiduals(mixed.fit), response),
    treatments: meansOf(means.means, names),
    versusControl: versusOf(control.comparisons.map(known), names),
    allPairs: pairsOf(pairs, names),
    letters: Object.fromEntries(names.map((name, i) => [name, groups[i] ?? ''])),
  };
}

function baselineSlope({ precision }: MixedFit): number | undefined {
  const [slope] = remlContrasts(precision, [{ intercept: 0, terms: { baseline: [1] } }]);
  return slope?.estimate;
}
