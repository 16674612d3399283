import { type Random, createRandom } from '../random';
import { type BlockFit, fitBlocks, layoutScorer } from './adjusted-fit';
import { balanceCheck } from './balance';
import { keepsBlocks, regionCodes } from './joint-measure';
import { type LayoutSet, countLayouts, smallestShare } from './layout-set';
import { type PairInterval, type PairReason, pairInterval } from './pair-interval';
import { sampleScores, sampleTotals } from './sampling';
import { type Renaming, type TallyShares, createTally } from './tally';
import { type LayoutScore, totalsScorer } from './totals-fit';
import { walkSplit } from './split-walk';
import { type Anchor, chooseAnchor, walkList, walkStrata } from './walk';

export type ExactTestOptions = {
  /** Plot values; NaN is a lost plot. */
  readonly y: Float64Array;
  /** The drawn treatment of every plot, 0 to treatments - 1. */
  readonly labels: Uint8Array;
  readonly layouts: LayoutSet;
  readonly treatments: number;
  readonly control?: number;
  /** Block factors, codes per plot (a Latin square has two). Left out: the strata, where there are several. */
  readonly blocks?: readonly ArrayLike<number>[];
  /**
   * Numbers known of each plot before treatment, to adjust for (their slopes are fitted in every
   * layout). A plot without one must be lost in `y`. They do not move with the labels, so the test
   * stays exact. Intervals by pairs are not given then.
   */
  readonly covariates?: readonly ArrayLike<number>[];
  readonly seed: number;
  /** Walk all layouts when no more than this many visits are needed. */
  readonly maxLayouts?: number;
  /** Random relabelings when there are more. */
  readonly draws?: number;
  /** 1 - confidence of the intervals; 0.05 unless told. */
  readonly alpha?: number;
  /** False: no intervals by exchanging two treatments; thousands of small tests go faster without. */
  readonly pairs?: boolean;
  /** Called with the share done, about a hundred times; an error thrown here stops the work. */
  readonly progress?: (share: number) => void;
};

export type ExactComparison = {
  readonly treatment: number;
  /** Treatment minus control, adjusted for blocks; null where the layout cannot compare them. */
  readonly difference: number | null;
  /** Two-sided, over all relabelings. */
  readonly p: number;
  /** Adjusted for all comparisons with the control, over the same relabelings. */
  readonly pStepDown: number;
  /** Interval and p by exchanging this treatment with the control only. */
  readonly pair: PairInterval;
};

export type ExactTest = {
  readonly kind: 'tested';
  readonly statistic: 'F';
  readonly observed: number;
  /** Layouts the p-value rests on: all, or the number of draws. */
  readonly layouts: bigint;
  /** Layouts the draw could have given; undefined where they can't be counted. */
  readonly total?: bigint;
  readonly enumerated: boolean;
  /** Layouts looked at: fewer than `layouts` where renamed treatments give the same F. */
  readonly visits: number;
  readonly seed: number;
  readonly p: number;
  readonly smallestP: number;
  readonly versusControl?: readonly ExactComparison[];
  /** Adjusted for all pairs by the largest difference in a layout (single step). */
  readonly allPairs: readonly { readonly a: number; readonly b: number; readonly p: number }[];
};

export type ExactRefusal = {
  readonly kind: 'refused';
  readonly reason: /** All plot values are alike within their blocks. */
    | 'no-spread'
    /** Blocks and treatments use up all plots. */
    | 'no-error-df'
    /** The draw could have given no other layout. */
    | 'one-layout';
};

/** By totals, and where each layout needs a fit of its own. */
const MAX_VISITS = { totals: 600_000, fitted: 100_000 };
const DRAWS = { totals: 1_000_000, fitted: 50_000 };
/**
 * Draws behind the comparisons where F is counted by the kernel. Where one draw stands for every
 * renaming of the treatments, fewer do for the same certainty: a p near 0.05 is known to about
 * 0.0007 (standard error), near 0.01 to 0.0003, either way (lost-and-sampled.test.ts).
 */
const COMPARISONS = { none: 100_000, others: 75_000, all: 50_000 };

type Setting = {
  readonly options: ExactTestOptions;
  readonly fit: BlockFit;
  readonly factors: readonly ArrayLike<number>[];
  readonly complete: boolean;
  /** True where every layout needs a fit of its own: dear. */
  readonly fitted: boolean;
};

type LabelsScorer = (labels: ArrayLike<number>) => LayoutScore;

type Outcome = {
  /** The drawn layout counts itself here, whether all layouts were walked or some were drawn. */
  readonly shares: TallyShares;
  /** Layouts with F at least as extreme and layouts looked at for it. */
  readonly hits: number;
  readonly visits: number;
  readonly enumerated: boolean;
};

const checkLabels = ({ y, labels, treatments }: ExactTestOptions): void => {
  if (labels.length !== y.length)
    throw new RangeError(
      `labels and values must be equally many; got ${labels.length} and ${y.length}`,
    );
  const seen = new Set(labels);
  for (let l = 0; l < treatments; l++)
    if (!seen.has(l)) throw new RangeError(`every treatment needs a plot; number ${l} has none`);
  if (seen.size !== treatments)
    throw new RangeError(`labels must be 0 to ${treatments - 1}; got ${Math.max(...seen)}`);
};

/** Room for rounding in a sum of squares x or a scaled difference x: ties must count as ties. */
const slackOfSquares = (x: number, fit: BlockFit): number =>
  x * (1 - 1e-9) - 1e-12 * fit.ss - fit.noise * (2 * Math.sqrt(x) + fit.noise);
const slackOfDifference = (x: number, fit: BlockFit): number =>
  x * (1 - 1e-9) - 1e-12 * Math.sqrt(fit.ss) - fit.noise;

const reporter = (progress: ((share: number) => void) | undefined, of: number): (() => void) => {
  if (progress === undefined) return () => undefined;
  const every = Math.max(1, Math.floor(of / 100));
  let done = 0;
  return () => {
    if (++done % every === 0) progress(Math.min(1, done / of));
  };
};

/** Every layout has the same labels in each block, and nothing but blocks is adjusted for. */
const blocksKeep = ({
  options: { layouts, covariates = [] },
  factors,
}: Pick<Setting, 'options' | 'factors'>): boolean =>
  covariates.length === 0 && keepsBlocks(layouts, factors);

/** Totals are enough when nothing is lost and no relabeling disturbs the balance over the blocks. */
const totalsSuffice = (setting: Pick<Setting, 'options' | 'factors' | 'complete'>): boolean => {
  const { labels, treatments } = setting.options;
  return (
    setting.complete &&
    blocksKeep(setting) &&
    balanceCheck(labels, treatments, setting.factors)(labels)
  );
};

/** Scores any layout from its labels: by totals where it is balanced and nothing is lost, else by a fit. */
const labelsScorer = ({ options, fit, factors, complete }: Setting): LabelsScorer => {
  const { labels, treatments: k } = options;
  const byFit = layoutScorer(fit, k, blocksKeep({ options, factors }));
  if (!complete) return byFit;
  const balanced = balanceCheck(labels, k, factors);
  const byTotals = totalsScorer(labels, k);
  const totals = new Float64Array(k);
  return (row) => {
    if (!balanced(row)) return byFit(row);
    totals.fill(0);
    for (let p = 0; p < row.length; p++) totals[row[p]] += fit.residual[p];
    return byTotals(totals);
  };
};

/** Walks every layout (once per family of renamings where they are strata). */
const enumerateAll = (setting: Setting, anchor: Anchor): Outcome => {
  const { options, fit } = setting;
  const { labels, layouts, treatments: k, control } = options;
  const score = labelsScorer(setting);
  const drawn = layoutScorer(fit, k)(labels);
  const renaming: Renaming = anchor.renaming;
  const tally = createTally({
    k,
    ...(control === undefined ? {} : { control }),
    extreme: slackOfSquares(drawn.extreme, fit),
    z: drawn.z.map((x) => slackOfDifference(x, fit)),
    renaming,
  });
  const tick = reporter(options.progress, anchor.visits);
  if (layouts.kind === 'list') {
    walkList(layouts.labels, layouts.count, (rows) => {
      tally.add(score(rows));
      tick();
    });
  } else if (layouts.kind === 'draw') {
    walkSplit(layouts.wholePlots ?? [], labels, (rows) => {
      tally.add(score(rows));
      tick();
    });
  } else {
    const totals = totalsSuffice(setting) ? totalsScorer(labels, k) : undefined;
    walkStrata(
      { strata: anchor.strata, labels, k, values: fit.residual, ...anchorClasses(anchor) },
      (rows, sums) => {
        tally.add(totals === undefined ? score(rows) : totals(sums));
        tick();
      },
    );
  }
  const shares = tally.shares();
  return { shares, hits: shares.extreme, visits: shares.visits, enumerated: true };
};

const anchorClasses = ({ classes }: Anchor): { readonly classes?: readonly number[] } =>
  classes === undefined ? {} : { classes };

/** Random relabelings: by tables of totals where nothing is lost, else one full fit each. */
const sampleSome = (setting: Setting, anchor: Anchor, random: Random): Outcome => {
  const { options, fit, fitted } = setting;
  const { labels, layouts, treatments: k, control } = options;
  const draws = options.draws ?? (fitted ? DRAWS.fitted : DRAWS.totals);
  const score = labelsScorer(setting);
  const drawn = layoutScorer(fit, k)(labels);
  const limits = {
    extreme: slackOfSquares(drawn.extreme, fit),
    z: drawn.z.map((x) => slackOfDifference(x, fit)),
  };
  const tally = createTally({
    k,
    ...(control === undefined ? {} : { control }),
    ...limits,
    renaming: anchor.renaming,
  });
  // The drawn layout and all its renamings count themselves, which is what makes p exact.
  tally.add(drawn);
  const request = { labels, layouts, k, control, draws, random, progress: options.progress };
  if (layouts.kind === 'strata' && totalsSuffice(setting)) {
    const sampled = sampleTotals({
      ...request,
      strata: anchor.strata,
      values: fit.residual,
      extreme: limits.extreme,
      renaming: anchor.renaming,
      comparisons: Math.min(draws, COMPARISONS[anchor.renaming]),
      add: tally.add,
    });
    if (sampled !== undefined) return { shares: tally.shares(), ...sampled, enumerated: false };
  }
  sampleScores({ ...request, score, add: tally.add });
  const shares = tally.shares();
  return { shares, hits: shares.extreme - 1, visits: shares.visits - 1, enumerated: false };
};

const noPair = (reason: PairReason): PairInterval => ({
  estimate: null,
  p: null,
  low: null,
  high: null,
  reason,
  layouts: 0,
  enumerated: false,
});

const pairOf = (options: ExactTestOptions, treatment: number, random: Random): PairInterval => {
  const { y, labels, layouts, control = 0, alpha = 0.05, covariates = [], pairs } = options;
  if (covariates.length > 0) return noPair('covariates');
  if (pairs === false) return noPair('not-asked');
  return pairInterval({ y, labels, layouts, treatment, control, alpha, random });
};

const compare = (
  setting: Setting,
  { shares }: Outcome,
  random: Random,
): readonly ExactComparison[] | undefined => {
  const { options, fit } = setting;
  const { labels, treatments: k, control } = options;
  if (control === undefined) return undefined;
  const { effects, z } = layoutScorer(fit, k)(labels);
  const share = (count: number): number => count / shares.visits;
  const pStepDown = new Float64Array(k);
  shares.order.reduce(
    (before, j) => (pStepDown[j] = Math.max(before, share(shares.stepDown[j]))),
    0,
  );
  return Array.from({ length: k }, (_, treatment) => treatment)
    .filter((j) => j !== control)
    .map((j) => {
      const difference = effects[j] - effects[control];
      return {
        treatment: j,
        difference: difference !== 0 && z[j * k + control] === 0 ? null : difference,
        p: share(shares.single[j]),
        pStepDown: pStepDown[j],
        pair: pairOf(options, j, random),
      };
    });
};

const pairShares = (k: number, { shares }: Outcome): ExactTest['allPairs'] => {
  const rows: { readonly a: number; readonly b: number; readonly p: number }[] = [];
  for (let a = 0; a < k; a++)
    for (let b = a + 1; b < k; b++) {
      rows.push({ a, b, p: shares.pairs[a * k + b] / shares.visits });
    }
  return rows;
};

/**
 * Exact test of the layout that was drawn (Fisher 1935; Edgington & Onghena 2007, chapter 1).
 *
 * F test. Statistic: F of treatments adjusted for the blocks (and covariates) given. p is the share of the layouts
 * the draw could have given whose F is at least as large as that of the drawn one, which counts
 * itself; ties count, with a relative slack of 1e-9. Nothing is assumed of the values: p is exact
 * when no treatment has any effect on any plot. All layouts are walked when that takes at most
 * `maxLayouts` visits (600,000; 100,000 where each layout needs a fit: lost plots, unbalanced
 * blocks, covariates), else `draws` are taken at random (1,000,000, and 50,000 to 100,000 others
 * for the comparisons; 50,000 for both) and p = (1 + hits)/(1 + draws) (Phipson & Smyth 2010,
 * SAGMB 9:39). Where treatments may be renamed and give a layout of the set again, a draw counts in
 * the comparisons as the mean over all its renamings, and so does the drawn layout itself: it is one
 * of the renamings of one of 1 + draws exchangeable families, so that p stays exact.
 * A lost plot keeps its place: labels move over it, its value is missing in every layout.
 *
 * Comparisons. Statistic: the absolute difference from the control adjusted for blocks, over the
 * square root of its variance factor in that layout (a constant when nothing is lost and plots are
 * equally many; never the residual variance, see README). `p` tests the complete null: no
 * treatment has any effect. `pStepDown` is the Westfall-Young step-down maximum over the same
 * relabelings. The relabelings always move all labels, also those of treatments already set
 * apart: their effects then widen the reference distribution of the rest, which costs power but
 * keeps the rate of false claims (simulated in step-down.test.ts). A claim about one pair that
 * holds whatever the others do is `pair`, by exchanging only those two labels.
 *
 * `smallestP` is the smallest p this set of layouts can give for F (see smallestShare), and at
 * least 1/(1 + draws) when sampled.
 *
 * @throws RangeError for labels that do not fit `treatments`.
 */
export function exactTest(options: ExactTestOptions): ExactTest | ExactRefusal {
  checkLabels(options);
  const { y, labels, layouts, treatments: k } = options;
  const factors = options.blocks ?? regionCodes(layouts, y.length);
  const covariates = options.covariates ?? [];
  const fit = fitBlocks(y, factors, covariates);
  const total = countLayouts(layouts, labels, k);
  const complete = fit.present.length === y.length && covariates.length === 0;
  const fitted = !complete || !balanceCheck(labels, k, factors)(labels);
  const setting = { options, fit, factors, complete, fitted };
  const drawn = { ...layoutScorer(fit, k)(labels) };
  if (total === 1n) return { kind: 'refused', reason: 'one-layout' };
  if (!(fit.ss > (fit.noise * 4) ** 2)) return { kind: 'refused', reason: 'no-spread' };
  if (fit.present.length - fit.rank - (k - 1) < 1)
    return { kind: 'refused', reason: 'no-error-df' };
  const random = createRandom(options.seed);
  const anchor = chooseAnchor(layouts, labels, k, options.control);
  const most = options.maxLayouts ?? (fitted ? MAX_VISITS.fitted : MAX_VISITS.totals);
  const outcome =
    anchor.visits <= most ? enumerateAll(setting, anchor) : sampleSome(setting, anchor, random);
  const { enumerated, hits, visits } = outcome;
  const least = smallestShare(layouts, labels, k) ?? 0;
  const versusControl = compare(setting, outcome, random);
  return {
    kind: 'tested',
    statistic: 'F',
    observed: drawn.f,
    layouts: enumerated && total !== undefined ? total : BigInt(visits),
    ...(total === undefined ? {} : { total }),
    enumerated,
    visits,
    seed: options.seed,
    p: enumerated ? hits / visits : (1 + hits) / (1 + visits),
    smallestP: enumerated ? least : Math.max(least, 1 / (1 + visits)),
    ...(versusControl === undefined ? {} : { versusControl }),
    allPairs: pairShares(k, outcome),
  };
}
