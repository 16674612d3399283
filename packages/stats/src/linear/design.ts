import { largestAbsolute, NOTHING } from './spread';

/** A grouping of the plots: `codes[i]` is the place of plot i's level in `levels`. */
export type Factor = {
  readonly kind: 'factor';
  readonly name: string;
  readonly codes: ArrayLike<number>;
  readonly levels: readonly string[];
};

/** A number known of each plot, such as its disease before treatment. */
export type Covariate = {
  readonly kind: 'covariate';
  readonly name: string;
  readonly values: ArrayLike<number>;
};

export type Term = Factor | Covariate;

/** Column 0 is the intercept; a term's columns run from `from` up to, not including, `to`. */
export type TermColumns = {
  readonly term: Term;
  readonly from: number;
  readonly to: number;
  /** Factors: plots of each level. */
  readonly counts: Int32Array;
  /** Factors: each level's column, or -1 for the reference (first with plots) and empty levels. */
  readonly columnOf: Int32Array;
  /** Covariates: the mean, taken off before fitting; 0 for factors. */
  readonly mean: number;
};

export type Design = {
  readonly n: number;
  readonly columns: number;
  readonly terms: readonly TermColumns[];
};

function factorColumns(term: Factor, from: number): TermColumns {
  const counts = new Int32Array(term.levels.length);
  for (let i = 0; i < term.codes.length; i++) {
    const code = term.codes[i];
    if (!(Number.isInteger(code) && code >= 0 && code < counts.length)) {
      throw new RangeError(
        `codes of ${term.name} must be whole numbers from 0 to ${counts.length - 1}; ` +
          `got ${code} for value ${i}`,
      );
    }
    counts[code]++;
  }
  const columnOf = new Int32Array(counts.length).fill(-1);
  let to = from;
  let referenceSeen = false;
  for (let level = 0; level < counts.length; level++) {
    if (counts[level] === 0) continue;
    if (referenceSeen) columnOf[level] = to++;
    referenceSeen = true;
  }
  return { term, from, to, counts, columnOf, mean: 0 };
}

function covariateColumn(term: Covariate, from: number): TermColumns {
  let sum = 0;
  for (let i = 0; i < term.values.length; i++) sum += term.values[i];
  if (!Number.isFinite(sum)) {
    throw new RangeError(`values of ${term.name} must be finite; leave such plots out`);
  }
  return {
    term,
    from,
    to: from + 1,
    counts: new Int32Array(0),
    columnOf: new Int32Array(0),
    mean: sum / term.values.length,
  };
}

/**
 * Lays out the columns of an intercept and `terms` over n plots.
 *
 * @throws RangeError for a term of another length, a code outside its levels, a value that is not
 *   finite, or a name used twice: faults of the caller, not of the data.
 */
export function layOutDesign(n: number, terms: readonly Term[]): Design {
  const laid: TermColumns[] = [];
  const names = new Set<string>();
  let from = 1;
  for (const term of terms) {
    const given = term.kind === 'factor' ? term.codes.length : term.values.length;
    if (given !== n) throw new RangeError(`${term.name} must have ${n} entries; got ${given}`);
    if (names.has(term.name))
      throw new RangeError(`term names must differ; got ${term.name} twice`);
    names.add(term.name);
    const columns =
      term.kind === 'factor' ? factorColumns(term, from) : covariateColumn(term, from);
    laid.push(columns);
    from = columns.to;
  }
  return { n, columns: from, terms: laid };
}

/**
 * The design's columns one after another, n rows each: 1 for the intercept, 1 where a plot has the
 * level, covariates less their mean (so that a large mean costs no digits). A covariate that is
 * the same everywhere becomes a column of zeros, to be set aside.
 */
export function designMatrix(design: Design): Float64Array {
  const { n } = design;
  const matrix = new Float64Array(n * design.columns);
  matrix.fill(1, 0, n);
  for (const { term, from, columnOf, mean } of design.terms) {
    if (term.kind === 'factor') {
      for (let i = 0; i < n; i++) {
        const column = columnOf[term.codes[i]];
        if (column >= 0) matrix[column * n + i] = 1;
      }
      continue;
    }
    const nothing = NOTHING * largestAbsolute(term.values);
    let varies = false;
    for (let i = 0; i < n; i++) {
      matrix[from * n + i] = term.values[i] - mean;
      varies ||= Math.abs(term.values[i] - mean) > nothing;
    }
    if (!varies) matrix.fill(0, from * n, (from + 1) * n);
  }
  return matrix;
}

/**
 * The cells of two factors as one factor, for an interaction term (after both) or for means of the
 * cells (in place of both). Levels are `a b`, those of b running fastest.
 */
export function crossFactors(name: string, a: Factor, b: Factor): Factor {
  const width = b.levels.length;
  return {
    kind: 'factor',
    name,
    codes: Int32Array.from(a.codes, (code, i) => code * width + b.codes[i]),
    levels: a.levels.flatMap((first) => b.levels.map((second) => `${first} ${second}`)),
  };
}
