import { ModelError } from '../mixed/design';
import type { GroupTerm } from '../mixed/groups';
import type { RowResponse } from './response';
import type { SdPrior } from './sd-prior';

/**
 * A hierarchical model: each row's linear predictor is the mean of its treatment plus a normal
 * random effect for each of its groups. The means have a joint normal prior, the standard
 * deviations independent priors, terms first, then the residual where the response has one.
 */
export type Hierarchy = {
  readonly treatments: number;
  readonly treatment: Int32Array;
  readonly terms: readonly GroupTerm[];
  readonly response: RowResponse;
  /** Of the treatments' means: prior mean, and precision, row-major. */
  readonly centre: Float64Array;
  readonly precision: Float64Array;
  readonly spreads: readonly SdPrior[];
};

/** Prior standard deviations: of each difference from the reference, and of the mean of all rows. */
export type MeanPrior = {
  readonly difference: number;
  readonly overall: number;
  /** Around which the mean of all rows lies. */
  readonly centre: number;
};

type Treatments = { readonly codes: ArrayLike<number>; readonly count: number };

/**
 * Precision of the treatments' means under independent normal priors on each difference from the
 * reference and on the mean over all rows (an intercept with centred contrasts).
 */
export const meanPrecision = (
  { codes, count }: Treatments,
  reference: number,
  prior: MeanPrior,
): Float64Array => {
  const share = new Float64Array(count);
  for (let i = 0; i < codes.length; i++) share[codes[i]] += 1 / codes.length;
  const p = new Float64Array(count * count);
  const overall = 1 / prior.overall ** 2;
  const difference = 1 / prior.difference ** 2;
  for (let a = 0; a < count; a++) {
    for (let b = 0; b < count; b++) p[a * count + b] = overall * share[a] * share[b];
    if (a === reference) continue;
    p[a * count + a] += difference;
    p[reference * count + reference] += difference;
    p[a * count + reference] -= difference;
    p[reference * count + a] -= difference;
  }
  return p;
};

export type Grouped = {
  readonly name: string;
  readonly codes: ArrayLike<number>;
  readonly levels: readonly string[];
};

/** Groups that occur, renumbered; a term with one group says nothing of spread and is left out. */
export const usedTerms = (groups: readonly Grouped[], rows: readonly number[]): GroupTerm[] =>
  groups.flatMap(({ name, codes }) => {
    const places = new Map<number, number>();
    const own = Int32Array.from(rows, (i) => {
      const place = places.get(codes[i]) ?? places.size;
      places.set(codes[i], place);
      return place;
    });
    return places.size > 1 ? [{ name, codes: own, size: places.size }] : [];
  });

/** Throws ModelError unless there are two treatments or more, each in a row, and a reference. */
export const checkTreatments = (
  codes: ArrayLike<number>,
  levels: readonly string[],
  reference: string,
): number => {
  const at = levels.indexOf(reference);
  if (at < 0) throw new ModelError(`treatment: no level "${reference}"`);
  if (levels.length < 2) throw new ModelError('ranking needs two treatments or more; got 1');
  const seen = new Set(Array.from(codes));
  const missing = levels.find((_, code) => !seen.has(code));
  if (missing !== undefined) throw new ModelError(`no values of ${missing}`);
  return at;
};
