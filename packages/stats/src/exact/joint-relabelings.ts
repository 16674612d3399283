import { type JointPlots, jointMeasure } from './joint-measure';
import { walkJointly } from './joint-walk';

export type JointRequest = JointPlots & {
  readonly seed: number;
  /** Random relabelings where there are too many layouts to visit all. */
  readonly draws?: number;
  readonly maxLayouts?: number;
  readonly progress?: (share: number) => void;
};

export type JointRelabelings = {
  /** Statistics of the drawn layout. */
  readonly observed: Float64Array;
  /** |observed| less the room for rounding within which another layout counts as a tie. */
  readonly limits: Float64Array;
  readonly spreads: Float64Array;
  readonly visits: number;
  readonly enumerated: boolean;
  readonly total: bigint | undefined;
};

/**
 * The joint distribution of all treatment-against-control statistics of several outcomes (or of
 * one outcome at several looks) over the layouts the draw could have given. The same relabeling
 * serves all outcomes. `visit` is called once for every layout with outcomes x (treatments - 1)
 * signed statistics, outcome after outcome, treatments in ascending order without the control; the
 * array is used again. Every visited layout weighs the same.
 *
 * Enumerated: every layout once, the drawn one among them, so p = hits / visits. Else `draws`
 * random layouts without the drawn one, so p = (1 + hits) / (1 + visits).
 *
 * @throws RangeError for labels, control or lengths that do not fit together.
 */
export function jointRelabelings(
  request: JointRequest,
  visit: (statistics: Float64Array) => void,
): JointRelabelings {
  const measure = jointMeasure(request);
  const { width, observed, limits, spreads } = measure;
  const { seed, draws, maxLayouts, progress } = request;
  let views: readonly Float64Array[] = [];
  const walk = { plots: request, measure, seed, draws, maxLayouts, progress };
  const walked = walkJointly(walk, (rows, count, stride) => {
    // The walk hands on one and the same array: its rows need views of their own only once.
    if (views[0]?.buffer !== rows.buffer)
      views = Array.from({ length: rows.length / stride }, (_, i) =>
        rows.subarray(i * stride, i * stride + width),
      );
    for (let i = 0; i < count; i++) visit(views[i]);
  });
  return { observed, limits, spreads, ...walked };
}
