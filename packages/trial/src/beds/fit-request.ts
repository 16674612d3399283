import type { Along } from './grow-blocks';
import type { Ask } from './slots';

export type FitRequest = Ask & {
  readonly blocks: number;
  /** Plots in each block. */
  readonly perBlock: number;
  /** A Latin square: `blocks` rows of `perBlock` = `blocks` plots in one grid. */
  readonly latin?: boolean | undefined;
  /**
   * The direction in which the ground differs (shade, damp, slope): blocks follow one another that
   * way, and each spans as little of it as it can. Left out: each block is as compact as it can be.
   */
  readonly along?: Along | undefined;
};
