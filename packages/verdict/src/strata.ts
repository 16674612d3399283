import { fitLinear, fUpper, type Precision, termTest, type Term } from '@fairbed/stats';
import { factor, type Fitted, fitPlots, layoutTerms, type Response, treatmentFactor } from './fit';
import type { AnovaRow, Outcome } from './judgement';
import type { Layout } from './layout';
import { fitMixed, type MixedFit, mixedFitted } from './mixed-fit';
import { type Practices, practicesOf } from './practices';
import { type Grouping, pick } from './table';

const wholePlotTerm = 'whole plot';

/** Layout and baseline, which stand before what was given. */
function before(response: Response): Term[] {
  const { baseline } = response;
  const terms = layoutTerms(response, false);
  if (baseline) terms.push({ kind: 'covariate', name: 'baseline', values: baseline });
  return terms;
}

type Given = { readonly practice: readonly Term[]; readonly within: readonly Term[] };

/** Practices, and what stands within them: as a factor and its interaction, or treatments as such. */
function givenTerms(response: Response, { practice, within }: Practices): Given {
  const { table, kept } = response;
  const term = (name: string, group: Grouping): Term => factor(name, group, kept);
  if (practice.levels.length < 2) return { practice: [], within: [treatmentFactor(response)] };
  const own = within
    ? [term('treatment', within), term('practice x treatment', table.treatment)]
    : [term('treatment within practice', table.treatment)];
  return { practice: [term('practice', practice)], within: own };
}

const isWhole = (df: number, whole: number): boolean => Math.abs(df - whole) < 1e-6 * whole;

/**
 * F of a term by Kenward and Roger. Where it is the ratio of two mean squares, as in every balanced
 * trial, it is given as that ratio, to the last digit.
 */
function tested(row: AnovaRow, precision: Precision, errors: readonly AnovaRow[]): AnovaRow {
  const test = termTest(precision, row.source);
  if (test === undefined || row.ms === null) return row;
  const { df, ms } = row;
  for (const error of errors) {
    if (!error.ms || !isWhole(test.denDf, error.df)) continue;
    const f = ms / error.ms;
    if (Math.abs(f - test.f) > 1e-6 * Math.max(f, 1)) continue;
    return { ...row, f, p: fUpper(f, df, error.df), errorDf: error.df };
  }
  return { ...row, f: test.f, p: test.p, errorDf: test.denDf };
}

/** Sums of squares in the order of the terms, each F against the error it has. */
function strataAnova(
  response: Response,
  given: Given,
  { precision, fit }: MixedFit,
  wholePlot: Grouping,
): Outcome['anova'] {
  const whole = factor(wholePlotTerm, wholePlot, response.kept);
  const terms = [...before(response), ...given.practice, whole, ...given.within];
  const plain = fitLinear({ y: response.y, terms }).anova.map(
    ({ source, df, ss, ms }): AnovaRow => ({ source, df, ss, ms: ms ?? null, f: null, p: null }),
  );
  const isError = ({ source }: AnovaRow): boolean =>
    source === wholePlotTerm || source === 'residual';
  const errors = plain.filter((row) => isError(row) && row.df > 0);
  const noWholeError = hasNoWholeError(fit.leftOut);
  const rows = plain.map((row) => {
    if (row.source === wholePlotTerm) return { ...row, source: 'whole-plot error' };
    if (isError(row) || (noWholeError && row.source === 'practice')) return row;
    return tested(row, precision, errors);
  });
  return { rows, residualSd: fit.residual.sd };
}

/** All that whole plots differ by is laid to practices and blocks: nothing is left to judge them by. */
const hasNoWholeError = (leftOut: MixedFit['fit']['leftOut']): boolean =>
  leftOut.some(({ name, why }) => name === wholePlotTerm && why === 'within-fixed');

/** Of each treatment, its practice. */
function practiceOfTreatments({ table }: Response, { practice }: Practices): number[] {
  const of = table.treatment.levels.map(() => -1);
  table.treatment.codes.forEach((code, plot) => {
    of[code] = practice.codes[plot] ?? -1;
  });
  return of;
}

/**
 * A split plot by REML: blocks fixed, whole plots random, so that treatments of one whole plot are
 * compared by the small error within and practices by the large one between. The variance of whole
 * plots may come out below zero, which keeps the classical F of both strata in every balanced trial
 * (Nelder 1954, Biometrika 41:544). Undefined where no variation is known.
 */
function fitStrata(
  response: Response,
  practices: Practices,
  lowestFirst: boolean,
): Fitted | undefined {
  const whole = pick(practices.wholePlot, response.kept);
  const random = [{ name: wholePlotTerm, codes: whole.codes }];
  const shared = { y: response.y, random, belowZero: true };
  const given = givenTerms(response, practices);
  const mixed = fitMixed({ ...shared, terms: [...before(response), treatmentFactor(response)] });
  const byTerm = fitMixed({
    ...shared,
    terms: [...before(response), ...given.practice, ...given.within],
  });
  if (!mixed || !byTerm) return undefined;
  const practice = practiceOfTreatments(response, practices);
  const apart = hasNoWholeError(mixed.fit.leftOut);
  return mixedFitted({
    response,
    mixed,
    anova: strataAnova(response, given, byTerm, practices.wholePlot),
    lowestFirst,
    comparable: (a, b) => !apart || practice[a] === practice[b],
  });
}

/**
 * Incomplete blocks by REML: blocks random, so that what blocks tell of treatments between them
 * (Yates 1940, Annals of Eugenics 10:317, recovery of inter-block information) is weighed in as far
 * as their variance allows. The analysis of variance stays that of fixed blocks.
 */
function fitIncomplete(response: Response, lowestFirst: boolean): Fitted {
  const plain = fitPlots(response, false, lowestFirst);
  const { table, kept, y } = response;
  if (!table.block) return plain;
  const terms = before(response).filter(({ name }) => name !== 'block');
  const mixed = fitMixed({
    y,
    terms: [...terms, treatmentFactor(response)],
    random: [{ name: 'block', codes: pick(table.block, kept).codes }],
  });
  if (!mixed || mixed.fit.components.length === 0) return plain;
  const comparable = (): boolean => true;
  return mixedFitted({ response, mixed, anova: plain.anova, lowestFirst, comparable });
}

/** The analysis of plot values that the layout asks for. */
export function fitByLayout(response: Response, layout: Layout, lowestFirst: boolean): Fitted {
  const practices = layout.kind === 'split-plot' ? practicesOf(response.table) : undefined;
  if (practices) {
    const fitted = fitStrata(response, practices, lowestFirst);
    if (fitted) return fitted;
  }
  if (layout.kind === 'incomplete-blocks') return fitIncomplete(response, lowestFirst);
  return fitPlots(response, layout.latin, lowestFirst);
}
