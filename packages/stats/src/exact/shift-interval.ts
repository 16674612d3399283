import { createRandom } from '../random';
import { fitBlocks, layoutScorer } from './adjusted-fit';
import { type JointPlots, regionCodes } from './joint-measure';
import { countLayouts } from './layout-set';
import { redraw } from './sampling';
import { walkSplit } from './split-walk';
import { walkList, walkStrata } from './walk';

export type ShiftRequest = Omit<JointPlots, 'values'> & {
  /** Plot values; NaN is a lost plot. */
  readonly y: Float64Array;
  readonly treatment: number;
  /** 1 - confidence. */
  readonly alpha: number;
  readonly seed: number;
  readonly draws?: number;
  readonly maxLayouts?: number;
};

export type ShiftInterval = {
  /** Adjusted difference of the drawn layout; null where the layout can't compare the two. */
  readonly estimate: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly reason?: /** The two can't be compared. */
    | 'never-together'
    /** Even the most extreme shift is not rejected. */
    | 'too-few-layouts';
  readonly layouts: number;
  readonly enumerated: boolean;
};

/** Two ends for each layout are kept, so not more of them than this are used. */
const MAX_LAYOUTS = 50_000;
const DRAWS = 49_999;

type Visit = (labels: ArrayLike<number>) => void;

const walk = (request: ShiftRequest, visit: Visit): boolean => {
  const { layouts, labels, treatments: k, seed } = request;
  const total = countLayouts(layouts, labels, k);
  if (total === undefined || total > BigInt(request.maxLayouts ?? MAX_LAYOUTS)) {
    visit(labels);
    const next = redraw({ labels, layouts, random: createRandom(seed) });
    for (let draw = request.draws ?? DRAWS; draw > 0; draw--) visit(next());
    return false;
  }
  if (layouts.kind === 'list') walkList(layouts.labels, layouts.count, visit);
  else if (layouts.kind === 'draw') walkSplit(layouts.wholePlots ?? [], labels, visit);
  else {
    const values = new Float64Array(labels.length);
    walkStrata({ strata: layouts.strata, labels, k, values }, visit);
  }
  return true;
};

/** Scaled difference of treatment and control of any layout, of one list of values. */
const differenceOf = ({ treatments: k, treatment, control, ...request }: ShiftRequest) => {
  const factors = request.blocks ?? regionCodes(request.layouts, request.y.length);
  return (values: Float64Array): ((labels: ArrayLike<number>) => number) => {
    const score = layoutScorer(fitBlocks(values, factors, request.covariates), k);
    return (labels) => {
      const { effects, z } = score(labels);
      const size = z[treatment * k + control];
      return effects[treatment] < effects[control] ? -size : size;
    };
  };
};

/**
 * The shifts x with |d - x g| >= |estimate - x|: between two roots; on one side of a root where
 * |g| = 1; outside two roots where |g| > 1 (lost plots, incomplete blocks), which counts as everywhere.
 */
function shiftsOf(estimate: number, d: number, g: number): readonly [number, number] {
  const near = 1e-9;
  const tie = near * (Math.abs(estimate) + Math.abs(d));
  const one = (estimate - d) / (1 - g);
  const two = (estimate + d) / (1 + g);
  if (Math.abs(g) < 1 - near) return [Math.min(one, two), Math.max(one, two)];
  if (Math.abs(g - 1) <= near && Math.abs(d - estimate) > tie)
    return d > estimate ? [-Infinity, two] : [two, Infinity];
  if (Math.abs(g + 1) <= near && Math.abs(d + estimate) > tie)
    return d + estimate > 0 ? [one, Infinity] : [-Infinity, one];
  return [-Infinity, Infinity];
}

/**
 * Interval for the effect of one treatment by inverting the test of the whole draw: all shifts d
 * for which, once d is taken off the treatment's plots, the difference of the drawn layout is not
 * among the share alpha of largest ones over all layouts.
 *
 * Exact for a trial in which this treatment alone acts, by the same amount on every plot, and the
 * others are as the control: that is what the relabelings of all labels assume. So it is exact with
 * two treatments, and where others act too it is a yardstick only; `pairInterval` is exact then.
 * There is no version for several treatments at once: the shifts of all would have to be found
 * together, and with few blocks the region of those not rejected is not bounded.
 *
 * No search: a layout with difference D of the values and g of the treatment's plots (as 0 and 1)
 * is as extreme as the drawn one for the shifts between two roots (as in pairInterval), or, where
 * |g| > 1, for those outside; it is then counted for all shifts, which errs to the wide side. Memory: two numbers a layout, 50,000 at most;
 * beyond that layouts are drawn, the drawn one counted among them.
 */
export function shiftInterval(request: ShiftRequest): ShiftInterval {
  const { y, labels, treatment, alpha } = request;
  const of = differenceOf(request);
  const ofValues = of(y);
  const ofShift = of(y.map((v, p) => (Number.isNaN(v) ? v : labels[p] === treatment ? 1 : 0)));
  const drawn = ofValues(labels);
  const unit = ofShift(labels);
  if (!(unit > 0))
    return {
      estimate: null,
      low: null,
      high: null,
      reason: 'never-together',
      layouts: 0,
      enumerated: false,
    };
  const estimate = drawn / unit;
  const lows: number[] = [];
  const highs: number[] = [];
  const enumerated = walk(request, (layout) => {
    const d = ofValues(layout) / unit;
    const g = ofShift(layout) / unit;
    const [low, high] = shiftsOf(estimate, d, g);
    lows.push(low);
    highs.push(high);
  });
  const place = Math.floor(alpha * lows.length * (1 + 1e-12));
  const low = Float64Array.from(lows).sort()[place];
  const high = Float64Array.from(highs).sort()[highs.length - 1 - place];
  const found = { estimate, layouts: lows.length, enumerated };
  return Number.isFinite(low) && Number.isFinite(high)
    ? { ...found, low, high }
    : { ...found, low: null, high: null, reason: 'too-few-layouts' };
}
