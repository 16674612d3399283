import { jointMeasure } from '../exact/joint-measure';
import type { LayoutSet } from '../exact/layout-set';
import { allowed } from './call-region';
import { type ReferenceLayouts, referenceLayouts } from './reference-layouts';
import {
  fillStatistics,
  type Hypothesis,
  planRegions,
  type Regions,
  statisticsFor,
} from './regions';

/** One look: the plots as they stand then, and what may be spent by then. */
export type LookAtPlots = {
  /**
   * Value of each plot from the rounds up to this look, NaN where it has none; left out where the
   * look can give none.
   */
  readonly y?: Float64Array;
  /** Share of the layouts that may have been called at this look or before, 0..1; never falling. */
  readonly spent: number;
};

export type LayoutLooksRequest = {
  /** In the order in which they were held. */
  readonly looks: readonly LookAtPlots[];
  /** The drawn layout: treatment of every plot, 0 to treatments - 1. */
  readonly labels: Uint8Array;
  readonly layouts: LayoutSet;
  readonly treatments: number;
  readonly control: number;
  /** Groupings that differences are adjusted for, a code per plot; left out: the strata. */
  readonly blocks?: readonly ArrayLike<number>[];
  readonly seed: number;
  /**
   * Most layouts taken whole, those that only rename treatments other than the control counted
   * once; 60,000.
   */
  readonly most?: number;
  /** Layouts drawn at random where there are more; 4,999. */
  readonly draws?: number;
};

/** What a look finds of one treatment. */
export type TreatmentLook = {
  readonly treatment: number;
  /** Treatment minus control in the unit of the look's statistic; undefined without values. */
  readonly statistic: number | undefined;
  /** Adjusted for all treatments and all looks so far; at most `spent` just when it is called. */
  readonly p: number;
  /** Called at this look or before. */
  readonly called: boolean;
};

export type LayoutLook = {
  /**
   * Largest absolute difference from the control, adjusted for blocks and brought to the precision
   * of two treatments of mean size, in the unit of the values. Undefined without values.
   */
  readonly statistic: number | undefined;
  /** Smallest statistic of any layout called at this look; undefined where none may be. */
  readonly bound: number | undefined;
  /** What may be spent by now, as it was asked. */
  readonly spent: number;
  /** Share of the layouts called by now: at most `spent`. */
  readonly called: number;
  /**
   * Share of the layouts that were called before or are at least as extreme now: at most `spent`
   * just when the drawn one is called. Stays what it was once called.
   */
  readonly p: number;
  /** p if this had been the only look, of no use for stopping; undefined without values. */
  readonly pAlone: number | undefined;
  /** The drawn layout is called, at this look or before. */
  readonly stop: boolean;
  readonly versusControl: readonly TreatmentLook[];
};

export type LayoutLooks = {
  readonly looks: readonly LayoutLook[];
  /** Layouts in the reference set, those that only rename treatments counted once. */
  readonly layouts: number;
  readonly enumerated: boolean;
  readonly seed: number;
};

const DEFAULTS = { most: 60_000, draws: 4_999 };
const TIE = 1e-9;

function check({ looks }: LayoutLooksRequest): void {
  looks.forEach(({ spent }, k) => {
    const before = looks[k - 1]?.spent ?? 0;
    if (!(spent >= before && spent <= 1)) {
      throw new RangeError(`spent must rise from 0 to at most 1; got ${spent} after ${before}`);
    }
  });
}

/** What all looks are held against; `filled` is used again at each. */
type Setting = {
  readonly request: LayoutLooksRequest;
  readonly reference: ReferenceLayouts;
  readonly regions: Regions;
  readonly filled: readonly Float64Array[];
};

/** Statistics of one look, those of all members in `filled` of the setting. */
type Scored = {
  /** Of the drawn layout, signed, for the treatments but the control. */
  readonly observed: Float64Array;
  /** Of the drawn layout, for each hypothesis. */
  readonly own: ReadonlyMap<Hypothesis, number>;
  readonly pAlone: number;
  readonly slack: number;
  /** Turns a statistic into a difference between two treatments of mean size. */
  readonly unit: number;
};

function scoreLook(y: Float64Array, { request, reference, regions, filled }: Setting): Scored {
  const { labels, layouts, treatments, control, blocks } = request;
  const plots = { values: [y], labels, layouts, treatments, control };
  const measure = jointMeasure(blocks === undefined ? plots : { ...plots, blocks });
  fillStatistics(reference, measure, regions, filled);
  const { region, member } = regions.whole;
  const all = filled[region.place];
  let top = 0;
  for (let i = 0; i < all.length; i++) if (all[i] > top) top = all[i];
  let rounding = 0;
  measure.observed.forEach((x, i) => {
    rounding = Math.max(rounding, Math.abs(x) * (1 - TIE) - measure.limits[i]);
  });
  const slack = TIE * top + rounding;
  const ownOf = ({ member: { place, at } }: Hypothesis): number => filled[place][at];
  const own = new Map(
    [...regions.hypotheses, regions.whole].map((one) => [one, ownOf(one)] as const),
  );
  const limit = filled[member.place][member.at] - slack;
  let hits = 0;
  for (let i = 0; i < all.length; i++) if (all[i] >= limit) hits++;
  for (const { place, calls } of regions.list) calls.mask(filled[place]);
  const present = y.reduce((n, value) => n + (Number.isNaN(value) ? 0 : 1), 0);
  const unit = measure.spreads[0] * Math.sqrt((2 * treatments) / Math.max(1, present));
  return { observed: measure.observed, own, pAlone: hits / all.length, slack, unit };
}

/** What has become of a hypothesis so far. */
type State = { readonly hypothesis: Hypothesis; p: number; called: boolean };

function weigh(state: State, scored: Scored | undefined, of: Setting, spent: number): void {
  if (state.called) return;
  if (scored === undefined) {
    state.p = 1;
    return;
  }
  const { region } = state.hypothesis;
  const { size, hits } = region.calls;
  const own = scored.own.get(state.hypothesis) ?? 0;
  const reached = hits(of.filled[region.place], own, scored.slack);
  state.p = reached / size;
  state.called = reached <= allowed(size, spent);
}

/**
 * Looks at a trial round by round, against the layouts the draw could have given, at a stated error
 * rate for all looks and treatments together.
 *
 * Every layout of the reference set has a course of statistics: at each look the largest absolute
 * difference from the control, from the plot values of that look. At look k the layouts not yet
 * called that are most extreme are called, as many as keep all called so far within `spent` of look
 * k; layouts that tie are called together or not at all. The drawn layout stops the trial when it
 * is called. When no treatment has any effect, the plot values of all looks are what they are under
 * every layout, so the sets of called layouts are fixed and the drawn one, being as likely as any
 * other, is called by look k with a chance of at most `spent`: exactly, whatever the values, their
 * dependence between rounds and their ties. What is called at look k hangs on the values up to look
 * k alone, so that no bound moves when further looks follow. (The relabeling form of alpha spending,
 * Lan & DeMets 1983, Biometrika 70:659; Edgington & Onghena 2007, chapter 1, for the test itself.)
 * A set too large is sampled once, the drawn layout among the draws (Phipson & Smyth 2010,
 * SAGMB 9:39): all members are then exchangeable, and the same holds with shares of the sample.
 *
 * Treatments: every set of treatments has bounds of its own from the same layouts and the same
 * spending, and one treatment is called when all sets that hold it are (closed testing, Marcus,
 * Peritz & Gabriel 1976, Biometrika 63:655). With more than five beside the control, each is held
 * against the bounds of all. The caveat of the step-down test holds here too: labels of treatments
 * that do have an effect move along, which widens what the others are held against.
 *
 * @throws RangeError for `spent` that falls or leaves 0..1, or labels that do not fit.
 */
export function layoutLooks(request: LayoutLooksRequest): LayoutLooks {
  check(request);
  const { treatments, control, seed } = request;
  const { most = DEFAULTS.most, draws = DEFAULTS.draws } = request;
  const reference = referenceLayouts({ ...request, most, draws });
  const regions = planRegions(reference, treatments, control);
  const setting = { request, reference, regions, filled: statisticsFor(regions) };
  const states = [...new Set([...regions.hypotheses, regions.whole])].map(
    (hypothesis): State => ({ hypothesis, p: 1, called: false }),
  );
  const { count, enumerated } = reference;
  const looks = request.looks.map((look) => lookAt(look, setting, states));
  return { looks, layouts: count, enumerated, seed };
}

/** One look: weighs the drawn layout, then calls what may be called, which later looks build on. */
function lookAt({ y, spent }: LookAtPlots, setting: Setting, states: readonly State[]): LayoutLook {
  const { request, regions, filled } = setting;
  const { whole } = regions;
  const scored = y && scoreLook(y, setting);
  for (const state of states) weigh(state, scored, setting, spent);
  const calls = regions.list.map(({ place, calls }) =>
    scored === undefined ? undefined : calls.call(filled[place], spent, scored.slack),
  );
  const bound = calls[whole.region.place]?.bound;
  const { size, called } = whole.region.calls;
  const state = states.find(({ hypothesis }) => hypothesis === whole);
  return {
    statistic: scored && (scored.own.get(whole) ?? 0) * scored.unit,
    bound: bound === undefined || scored === undefined ? undefined : bound * scored.unit,
    spent,
    called: called() / size,
    p: state?.p ?? 1,
    pAlone: scored?.pAlone,
    stop: state?.called ?? false,
    versusControl: treatmentsOf(request, regions, states, scored),
  };
}

/** Single treatments: called when every hypothesis that holds them is. */
function treatmentsOf(
  { treatments, control }: LayoutLooksRequest,
  { hypotheses }: Regions,
  states: readonly State[],
  scored: Scored | undefined,
): TreatmentLook[] {
  const others = Array.from({ length: treatments }, (_, l) => l).filter((l) => l !== control);
  return others.map((treatment, i) => {
    const holding = states.filter(
      ({ hypothesis }) => hypotheses.includes(hypothesis) && hypothesis.treatments.includes(i),
    );
    return {
      treatment,
      statistic: scored && (scored.observed[i] ?? 0) * scored.unit,
      p: Math.max(...holding.map(({ p }) => p)),
      called: holding.every(({ called }) => called),
    };
  });
}
