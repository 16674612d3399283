import type { Design } from '../mixed/design';
import { type OrthogonalDesign, orthogonalise } from '../mixed/orthogonal';
import type { NestedTree } from './tree';

/**
 * Rows of one finest group that share their fixed effects differ in counts only, and their sum says
 * all that they say of the parameters: they are pooled. Fixed effects are kept once for each cell
 * (distinct row of the design), since a trial has few.
 */
export type PooledRows = {
  readonly tree: NestedTree;
  /** Pooled rows, and for each: its finest group and its cell. */
  readonly count: number;
  readonly leaf: Int32Array;
  readonly cell: Int32Array;
  /** The pooled row of each row given. */
  readonly poolOf: Int32Array;
  /** The cell of each row given. */
  readonly rowCells: Int32Array;
  /** Orthogonal columns; row-major, cells x columns. */
  readonly cells: number;
  readonly columns: number;
  readonly cellDesign: Float64Array;
  readonly orthogonal: OrthogonalDesign;
  /** Each cell has a logit of its own: a cell all diseased or all healthy then has no estimate. */
  readonly saturated: boolean;
};

const numbered = (keys: readonly string[]) => {
  const places = new Map<string, number>();
  const codes = Int32Array.from(keys, (key) => {
    const known = places.get(key);
    if (known !== undefined) return known;
    places.set(key, places.size);
    return places.size - 1;
  });
  return { codes, count: places.size };
};

/** Pools the rows of a design over the groups of a tree. */
export const poolRows = (design: Design, tree: NestedTree): PooledRows => {
  const { rows, matrix } = design;
  const p = design.names.length;
  const orthogonal = orthogonalise(matrix, rows, p);
  const text = (i: number) => matrix.subarray(i * p, (i + 1) * p).join(' ');
  const cells = numbered(Array.from({ length: rows }, (_, i) => text(i)));
  const pools = numbered(Array.from(cells.codes, (cell, i) => `${tree.leaf[i]} ${cell}`));
  const columns = orthogonal.kept.length;
  const cellDesign = new Float64Array(cells.count * columns);
  const leaf = new Int32Array(pools.count);
  const cell = new Int32Array(pools.count);
  for (let i = 0; i < rows; i++) {
    const at = orthogonal.matrix.subarray(i * columns, (i + 1) * columns);
    cellDesign.set(at, cells.codes[i] * columns);
    leaf[pools.codes[i]] = tree.leaf[i];
    cell[pools.codes[i]] = cells.codes[i];
  }
  return {
    tree,
    count: pools.count,
    leaf,
    cell,
    poolOf: pools.codes,
    rowCells: cells.codes,
    cells: cells.count,
    columns,
    cellDesign,
    orthogonal,
    saturated: cells.count === columns,
  };
};
