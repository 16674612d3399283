import { type JointPlots, jointMeasure } from './joint-measure';
import { CHUNK, sumRows, walkJointly } from './joint-walk';

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
  // The walk hands on one and the same array: its rows need views of their own only once.
  let views: readonly Float64Array[] = [];
  const visitRows = (rows: Float64Array, count: number, stride: number): void => {
    if (views[0]?.buffer !== rows.buffer)
      views = Array.from({ length: rows.length / stride }, (_, i) =>
        rows.subarray(i * stride, i * stride + width),
      );
    for (let i = 0; i < count; i++) visit(views[i]);
  };
  const walked = walkJointly(
    { plots: request, measure, seed, draws, maxLayouts, progress },
    {
      rows: (rows, count) => {
        visitRows(rows, count, width);
      },
      picks: (books) => {
        const rows = new Float64Array(CHUNK * books.width);
        return (picks, count) => {
          sumRows(books, picks, count, rows);
          visitRows(rows, count, books.width);
        };
      },
    },
  );
  return { observed, limits, spreads, ...walked };
}
