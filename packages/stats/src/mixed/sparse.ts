/**
 * Sparse LDL' of the curvature matrix of nested or crossed group effects, with the part of its
 * inverse that lies on the same pattern. The matrix is stored as its upper triangle by columns,
 * diagonal last in each column.
 *
 * Sources: T. A. Davis (2005), "Algorithm 849: a concise sparse Cholesky factorization package",
 * ACM TOMS 31:587-591 (up-looking LDL'); K. Takahashi, J. Fagan, M.-S. Chin (1973), "Formation of
 * a sparse bus impedance matrix" (inverse on the pattern of L).
 */
export type SparseFactor = {
  readonly size: number;
  readonly columnStart: Int32Array;
  readonly row: Int32Array;
  /** The matrix to factor: fill it, then call `factorise`. */
  readonly values: Float64Array;
  readonly lowerStart: Int32Array;
  readonly lowerRow: Int32Array;
  readonly lower: Float64Array;
  readonly diagonal: Float64Array;
  /** Inverse on the pattern of L, after `invertOnPattern`. */
  readonly inverseLower: Float64Array;
  readonly inverseDiagonal: Float64Array;
  readonly parent: Int32Array;
  readonly work: {
    readonly y: Float64Array;
    readonly flag: Int32Array;
    readonly pattern: Int32Array;
    readonly filled: Int32Array;
  };
};

/** Columns of the upper triangle, from unordered pairs of different nodes (repeats allowed). */
const upperColumns = (size: number, pairs: Iterable<readonly [number, number]>) => {
  const columns: Set<number>[] = Array.from({ length: size }, () => new Set<number>());
  for (const [a, b] of pairs) columns[Math.max(a, b)].add(Math.min(a, b));
  const columnStart = new Int32Array(size + 1);
  columns.forEach((rows, k) => (columnStart[k + 1] = columnStart[k] + rows.size + 1));
  const row = new Int32Array(columnStart[size]);
  columns.forEach((rows, k) => {
    row.set(
      [...rows].sort((x, y) => x - y),
      columnStart[k],
    );
    row[columnStart[k + 1] - 1] = k;
  });
  return { columnStart, row };
};

/** Elimination tree and the pattern of L, row by row (Davis 2005, symbolic phase). */
const lowerPattern = (size: number, columnStart: Int32Array, row: Int32Array) => {
  const parent = new Int32Array(size).fill(-1);
  const flag = new Int32Array(size).fill(-1);
  const columns: number[][] = Array.from({ length: size }, () => []);
  for (let k = 0; k < size; k++) {
    flag[k] = k;
    for (let p = columnStart[k]; p < columnStart[k + 1]; p++) {
      for (let i = row[p]; i < k && flag[i] !== k; i = parent[i]) {
        if (parent[i] === -1) parent[i] = k;
        columns[i].push(k);
        flag[i] = k;
      }
    }
  }
  const lowerStart = new Int32Array(size + 1);
  columns.forEach((c, k) => (lowerStart[k + 1] = lowerStart[k] + c.length));
  const lowerRow = new Int32Array(lowerStart[size]);
  columns.forEach((c, k) => {
    lowerRow.set(c, lowerStart[k]);
  });
  return { parent, lowerStart, lowerRow };
};

/**
 * Lays out a symmetric matrix of `size` nodes with an entry for each pair given and for the
 * diagonal. Nodes should be numbered finest grouping first (plants, plots, blocks): then nested
 * groups cause no fill at all.
 */
export const layOut = (size: number, pairs: Iterable<readonly [number, number]>): SparseFactor => {
  const { columnStart, row } = upperColumns(size, pairs);
  const { parent, lowerStart, lowerRow } = lowerPattern(size, columnStart, row);
  return {
    size,
    columnStart,
    row,
    values: new Float64Array(row.length),
    lowerStart,
    lowerRow,
    lower: new Float64Array(lowerRow.length),
    diagonal: new Float64Array(size),
    inverseLower: new Float64Array(lowerRow.length),
    inverseDiagonal: new Float64Array(size),
    parent,
    work: {
      y: new Float64Array(size),
      flag: new Int32Array(size),
      pattern: new Int32Array(size),
      filled: new Int32Array(size),
    },
  };
};

const find = (rows: Int32Array, from: number, to: number, wanted: number): number => {
  let low = from;
  let high = to - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    if (rows[middle] === wanted) return middle;
    if (rows[middle] < wanted) low = middle + 1;
    else high = middle - 1;
  }
  throw new Error(`No entry ${wanted} in the pattern of the curvature matrix`);
};

/** Where entry (a, b), a not b, stands in `values`. */
export const upperSlot = (m: SparseFactor, a: number, b: number): number => {
  const column = Math.max(a, b);
  return find(m.row, m.columnStart[column], m.columnStart[column + 1], Math.min(a, b));
};

/** Where entry (a, b), a not b, stands in `lower` and `inverseLower`. */
export const lowerSlot = (m: SparseFactor, a: number, b: number): number => {
  const column = Math.min(a, b);
  return find(m.lowerRow, m.lowerStart[column], m.lowerStart[column + 1], Math.max(a, b));
};

/** Factors `values` as LDL'. False when the matrix is not positive definite. */
export const factorise = (m: SparseFactor): boolean => {
  const { size, columnStart, row, values, lowerStart, lowerRow, lower, diagonal, parent } = m;
  const { y, flag, pattern, filled } = m.work;
  y.fill(0);
  flag.fill(-1);
  filled.fill(0);
  for (let k = 0; k < size; k++) {
    let top = size;
    flag[k] = k;
    for (let p = columnStart[k]; p < columnStart[k + 1]; p++) {
      let i = row[p];
      y[i] += values[p];
      let length = 0;
      for (; flag[i] !== k; i = parent[i]) {
        pattern[length++] = i;
        flag[i] = k;
      }
      while (length > 0) pattern[--top] = pattern[--length];
    }
    let d = y[k];
    y[k] = 0;
    for (; top < size; top++) {
      const i = pattern[top];
      const yi = y[i];
      y[i] = 0;
      const end = lowerStart[i] + filled[i];
      for (let p = lowerStart[i]; p < end; p++) y[lowerRow[p]] -= lower[p] * yi;
      const l = yi / diagonal[i];
      d -= l * yi;
      lower[end] = l;
      filled[i]++;
    }
    if (!(d > 0)) return false;
    diagonal[k] = d;
  }
  return true;
};

/** Natural logarithm of the determinant, after `factorise`. */
export const logDeterminant = (m: SparseFactor): number => {
  let sum = 0;
  for (let k = 0; k < m.size; k++) sum += Math.log(m.diagonal[k]);
  return sum;
};

/** Solves M x = b in place, after `factorise`. */
export const solveInPlace = (m: SparseFactor, b: Float64Array): void => {
  const { size, lowerStart, lowerRow, lower, diagonal } = m;
  for (let k = 0; k < size; k++) {
    for (let p = lowerStart[k]; p < lowerStart[k + 1]; p++) b[lowerRow[p]] -= lower[p] * b[k];
  }
  for (let k = size - 1; k >= 0; k--) {
    let sum = b[k] / diagonal[k];
    for (let p = lowerStart[k]; p < lowerStart[k + 1]; p++) sum -= lower[p] * b[lowerRow[p]];
    b[k] = sum;
  }
};

/** Fills `inverseLower` and `inverseDiagonal` (Takahashi's recursion), after `factorise`. */
export const invertOnPattern = (m: SparseFactor): void => {
  const { size, lowerStart, lowerRow, lower, diagonal, inverseLower, inverseDiagonal } = m;
  const place = m.work.flag.fill(-1);
  for (let j = size - 1; j >= 0; j--) {
    const start = lowerStart[j];
    const end = lowerStart[j + 1];
    for (let p = start; p < end; p++) {
      place[lowerRow[p]] = p;
      inverseLower[p] = 0;
    }
    for (let p = start; p < end; p++) {
      const k = lowerRow[p];
      inverseLower[p] -= lower[p] * inverseDiagonal[k];
      for (let r = lowerStart[k]; r < lowerStart[k + 1]; r++) {
        const other = place[lowerRow[r]];
        if (other < 0) continue;
        inverseLower[other] -= lower[p] * inverseLower[r];
        inverseLower[p] -= lower[other] * inverseLower[r];
      }
    }
    let d = 1 / diagonal[j];
    for (let p = start; p < end; p++) {
      d -= lower[p] * inverseLower[p];
      place[lowerRow[p]] = -1;
    }
    inverseDiagonal[j] = d;
  }
};
