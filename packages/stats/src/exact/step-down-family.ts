import { pickCounter, rowCounter } from './family-counter';
import { inOrder, type JointPlots, jointMeasure } from './joint-measure';
import { walkJointly } from './joint-walk';

export type FamilyRequest = JointPlots & {
  readonly seed: number;
  readonly draws?: number;
  readonly maxLayouts?: number;
  readonly progress?: (share: number) => void;
};

export type FamilyMember = {
  /** Place in `values`. */
  readonly outcome: number;
  readonly treatment: number;
  /** Treatment minus control over its variance factor and the outcome's spread. */
  readonly statistic: number;
  /** Two-sided, over all relabelings: of this comparison by itself. */
  readonly p: number;
  /** Adjusted for every treatment and outcome of the family. */
  readonly pStepDown: number;
};

export type Family = {
  /** Outcome after outcome, treatments in ascending order without the control. */
  readonly members: readonly FamilyMember[];
  /** Layouts the p-values rest on; the drawn one is counted beside them when they were drawn. */
  readonly layouts: number;
  readonly enumerated: boolean;
  /** Layouts the draw could have given; undefined where they can't be counted. */
  readonly total: bigint | undefined;
  readonly seed: number;
};

/** Members from the least to the most extreme. */
const ascending = (limits: Float64Array): number[] =>
  Array.from(limits.keys()).sort((a, b) => limits[a] - limits[b] || b - a);

/**
 * Step-down p-values of every treatment against the control in every outcome, all together, by the
 * layouts the draw could have given (Westfall & Young 1993, Resampling-Based Multiple Testing,
 * algorithm 4.1, with the largest statistic).
 *
 * One layout gives all statistics at once, so their dependence is the trial's own. A statistic is a
 * difference over the outcome's spread (see jointMeasure). `pStepDown` never falls below `p`, and is
 * not smaller for a less extreme member than for a more extreme one.
 *
 * What it holds for: when no treatment changes anything, the chance that any of the family is
 * claimed at alpha is at most alpha, exactly. It stays so for all outcomes that no treatment
 * changes, whatever is true of the others: values of an outcome without effects don't move with
 * the labels. Within an outcome that some treatment does change, the others are held against a
 * distribution that its effect has widened (README).
 *
 * Enumerated: shares of all layouts. Else (1 + hits) / (1 + draws) (Phipson & Smyth 2010).
 *
 * @throws RangeError for labels, control or lengths that do not fit together.
 */
export function stepDownFamily(request: FamilyRequest): Family {
  const natural = jointMeasure(request);
  const order = ascending(natural.limits);
  const measure = inOrder(natural, order);
  const { limits } = measure;
  const counts = { single: new Float64Array(order.length), step: new Float64Array(order.length) };
  const { seed, draws, maxLayouts, progress } = request;
  const walked = walkJointly(
    { plots: request, measure, seed, draws, maxLayouts, progress },
    {
      rows: rowCounter(limits, measure.width, counts),
      picks: (books) => pickCounter(books, limits, counts),
    },
  );
  const extra = walked.enumerated ? 0 : 1;
  const share = (hits: number): number => (hits + extra) / (walked.visits + extra);
  const p = new Float64Array(order.length);
  const pStepDown = new Float64Array(order.length);
  let before = 0;
  for (let i = order.length - 1; i >= 0; i--) {
    before = Math.max(before, share(counts.step[i]));
    p[order[i]] = share(counts.single[i]);
    pStepDown[order[i]] = before;
  }
  const treatments = Array.from({ length: request.treatments }, (_, l) => l).filter(
    (l) => l !== request.control,
  );
  const members = order.map((_, at) => ({
    outcome: Math.floor(at / treatments.length),
    treatment: treatments[at % treatments.length],
    statistic: natural.observed[at],
    p: p[at],
    pStepDown: pStepDown[at],
  }));
  return {
    members,
    layouts: walked.visits,
    enumerated: walked.enumerated,
    total: walked.total,
    seed,
  };
}
