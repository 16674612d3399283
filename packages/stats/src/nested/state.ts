import type { PooledRows } from './rows';

/**
 * Everything one layout's likelihood reads and writes, made once; the counts are refilled for every
 * fit. Point: standard deviations from the finest level up, then coefficients of the orthogonal
 * columns.
 */
export type Surface = {
  readonly pooled: PooledRows;
  readonly levels: number;
  readonly dimension: number;
  /** Counts of the pooled rows. */
  readonly y: Float64Array;
  readonly n: Float64Array;
  /** Pseudo-counts of each cell, half diseased and half healthy; 0 for none (`separation.ts`). */
  pseudo: number;
  /** By level. */
  readonly sd: Float64Array;
  /** Derivative of the value by each level's variance; at zero, whether it should stay there. */
  readonly score: Float64Array;
  /** By cell: linear predictor of the fixed effects, and slope of the value by it. */
  readonly fixed: Float64Array;
  readonly cellSlope: Float64Array;
  /** By pooled row: first, minus second, and third derivative of the log-likelihood; a spare. */
  readonly first: Float64Array;
  readonly weight: Float64Array;
  readonly third: Float64Array;
  readonly spare: Float64Array;
  /**
   * By node: standardised effect; predictor of this node and all above it; weight and residual of
   * the subtree with its own effects eliminated, own effect not; 1 + sd^2 weight; posterior variance
   * of `acc`; adjoint of `acc`; sums of `first` and of the slopes through the curvature.
   */
  readonly u: Float64Array;
  readonly acc: Float64Array;
  readonly w: Float64Array;
  readonly r: Float64Array;
  readonly a: Float64Array;
  readonly v: Float64Array;
  readonly c: Float64Array;
  readonly f: Float64Array;
  readonly d: Float64Array;
  /** The share of the pseudo-counts in the last value. */
  penalty: number;
  evaluations: number;
};

/** Room for the likelihood of one layout. */
export const newSurface = (pooled: PooledRows): Surface => {
  const levels = pooled.tree.termOf.length;
  const nodes = pooled.tree.levelStart[levels];
  const perRow = () => new Float64Array(pooled.count);
  const perNode = () => new Float64Array(nodes);
  return {
    pooled,
    levels,
    dimension: levels + pooled.columns,
    y: perRow(),
    n: perRow(),
    pseudo: 0,
    sd: new Float64Array(levels),
    score: new Float64Array(levels),
    fixed: new Float64Array(pooled.cells),
    cellSlope: new Float64Array(pooled.cells),
    first: perRow(),
    weight: perRow(),
    third: perRow(),
    spare: perRow(),
    u: perNode(),
    acc: perNode(),
    w: perNode(),
    r: perNode(),
    a: perNode(),
    v: perNode(),
    c: perNode(),
    f: perNode(),
    d: perNode(),
    penalty: 0,
    evaluations: 0,
  };
};
