import type { GroupTerm } from './groups';

/** One classification of the rows: the level (0-based) of each row. */
export type FixedFactor = {
  readonly name: string;
  readonly codes: ArrayLike<number>;
  readonly levels: readonly string[];
  /** The level the others are compared with (untreated control); the first when absent. */
  readonly reference?: string | undefined;
};

/**
 * Fixed effects: factors, the treatment first, in treatment contrasts with an intercept (an empty
 * list is the intercept alone); or a numeric matrix, row-major, with a name for each column.
 */
export type FixedEffects =
  | { readonly factors: readonly FixedFactor[] }
  | { readonly columns: readonly string[]; readonly matrix: ArrayLike<number> };

export type RandomGrouping = {
  readonly name: string;
  readonly codes: ArrayLike<number>;
  readonly levels: readonly string[];
};

/** Row-major design of the rows used. */
export type Design = {
  readonly names: readonly string[];
  readonly matrix: Float64Array;
  readonly rows: number;
};

/** A question the data can't be asked; the message says what and where. */
export class ModelError extends Error {
  override readonly name = 'ModelError';
}

const checkCodes = (name: string, codes: ArrayLike<number>, levels: number, rows: number) => {
  if (codes.length !== rows) {
    throw new ModelError(`${name}: ${codes.length} codes for ${rows} rows`);
  }
  for (let i = 0; i < rows; i++) {
    if (!Number.isInteger(codes[i]) || codes[i] < 0 || codes[i] >= levels) {
      throw new ModelError(`${name}, row ${i}: code must be 0 to ${levels - 1}; got ${codes[i]}`);
    }
  }
};

/** Names of the contrast columns: the plain level name for the first factor. */
const contrastName = (factor: FixedFactor, level: string, index: number): string =>
  index === 0 ? level : `${factor.name} ${level}`;

/** Index of the reference level. Throws ModelError when there is no such level. */
export const referenceIndex = (factor: FixedFactor): number => {
  if (factor.reference === undefined) return 0;
  const at = factor.levels.indexOf(factor.reference);
  if (at < 0) throw new ModelError(`${factor.name}: no level "${factor.reference}"`);
  return at;
};

const factorDesign = (
  factors: readonly FixedFactor[],
  kept: readonly number[],
  intercept: boolean,
): Design => {
  const columns: { name: string; codes: ArrayLike<number>; level: number }[] = [];
  factors.forEach((factor, f) => {
    const reference = referenceIndex(factor);
    if (!kept.some((i) => factor.codes[i] === reference)) {
      throw new ModelError(
        `${factor.name}: reference level "${factor.levels[reference]}" has no rows. Choose another.`,
      );
    }
    factor.levels.forEach((level, l) => {
      if (l !== reference && kept.some((i) => factor.codes[i] === l)) {
        columns.push({ name: contrastName(factor, level, f), codes: factor.codes, level: l });
      }
    });
  });
  const names = [...(intercept ? ['(Intercept)'] : []), ...columns.map((c) => c.name)];
  const p = names.length;
  const matrix = new Float64Array(kept.length * p);
  kept.forEach((row, i) => {
    if (intercept) matrix[i * p] = 1;
    columns.forEach((c, j) => {
      if (c.codes[row] === c.level) matrix[i * p + j + (intercept ? 1 : 0)] = 1;
    });
  });
  return { names, matrix, rows: kept.length };
};

/** Design over the rows kept. Levels without rows get no column. Throws ModelError. */
export const fixedDesign = (
  fixed: FixedEffects,
  rows: number,
  kept: readonly number[],
  intercept: boolean,
): Design => {
  if ('factors' in fixed) {
    for (const f of fixed.factors) checkCodes(f.name, f.codes, f.levels.length, rows);
    return factorDesign(fixed.factors, kept, intercept);
  }
  const p = fixed.columns.length;
  if (fixed.matrix.length !== rows * p) {
    throw new ModelError(`design: ${fixed.matrix.length} numbers for ${rows} rows of ${p} columns`);
  }
  const matrix = new Float64Array(kept.length * p);
  kept.forEach((row, i) => {
    for (let j = 0; j < p; j++) {
      const v = fixed.matrix[row * p + j];
      if (!Number.isFinite(v)) {
        throw new ModelError(`design, row ${row}, ${fixed.columns[j]}: not a number`);
      }
      matrix[i * p + j] = v;
    }
  });
  return { names: fixed.columns, matrix, rows: kept.length };
};

/** A grouping that splits the rows exactly as an earlier one does: its variance is that one's. */
export type MergedGrouping = { readonly name: string; readonly sameAs: string };

export type Groupings = {
  readonly terms: readonly GroupTerm[];
  /** Names of the groups, term by term. */
  readonly levels: readonly (readonly string[])[];
  readonly merged: readonly MergedGrouping[];
};

const samePartition = (a: GroupTerm, b: GroupTerm): boolean => {
  if (a.size !== b.size) return false;
  const partner = new Int32Array(a.size).fill(-1);
  return a.codes.every((code, i) => {
    if (partner[code] === -1) partner[code] = b.codes[i];
    return partner[code] === b.codes[i];
  });
};

const groupTerm = (grouping: RandomGrouping, kept: readonly number[]) => {
  const { name, codes, levels } = grouping;
  const present = [...new Set(kept.map((row) => codes[row]))].sort((a, b) => a - b);
  const number = new Map(present.map((code, g) => [code, g]));
  const local = Int32Array.from(kept, (row) => number.get(codes[row]) ?? 0);
  return {
    term: { name, codes: local, size: present.length },
    levels: present.map((code) => levels[code]),
  };
};

/**
 * Groupings over the rows kept, groups without rows left out of the numbering. One plant in each
 * plot, say, makes plants and plots the same grouping: the later is merged into the earlier.
 */
export const groupTerms = (
  random: readonly RandomGrouping[],
  rows: number,
  kept: readonly number[],
): Groupings => {
  const terms: GroupTerm[] = [];
  const levels: string[][] = [];
  const merged: MergedGrouping[] = [];
  for (const grouping of random) {
    checkCodes(grouping.name, grouping.codes, grouping.levels.length, rows);
    const made = groupTerm(grouping, kept);
    const twin = terms.find((t) => samePartition(t, made.term));
    if (twin) {
      merged.push({ name: grouping.name, sameAs: twin.name });
      continue;
    }
    terms.push(made.term);
    levels.push(made.levels);
  }
  return { terms, levels, merged };
};
