import { createRandom } from '../random';
import { fitBlocks, layoutScorer } from './adjusted-fit';
import { exactTest, type ExactRefusal } from './exact-test';
import { countLayouts, type LayoutSet, smallestShare, type WholePlots } from './layout-set';
import { redraw } from './sampling';
import { walkStrata } from './walk';

export type SplitPlotRequest = {
  /** Plot values; NaN is a lost plot. */
  readonly y: Float64Array;
  readonly wholePlots: WholePlots;
  /** The drawn treatment of every plot, 0 and up: with its practice, where it is tied to one. */
  readonly treatment: ArrayLike<number>;
  /** Practice of every plot, the same all over a whole plot. */
  readonly practice: ArrayLike<number>;
  /** What a plot has beside its practice, coded alike in all practices; left out where there is no such thing. */
  readonly within?: ArrayLike<number>;
  readonly seed: number;
  readonly draws?: number;
  readonly maxLayouts?: number;
};

/** One question of a split plot, by the layouts that answer it. */
export type StratumTest =
  | {
      readonly kind: 'tested';
      readonly p: number;
      /** The smallest p these layouts can give. */
      readonly smallestP: number;
      /** Layouts p rests on, decimal-safe. */
      readonly layouts: bigint;
      readonly enumerated: boolean;
    }
  | ExactRefusal
  /** There is only one practice, or no treatment that stands in all practices. */
  | { readonly kind: 'refused'; readonly reason: 'not-crossed' };

export type SplitPlotTest = {
  readonly practice: StratumTest;
  readonly within: StratumTest;
  readonly interaction: StratumTest;
};

/** Tells codes apart by 0, 1, 2 ... in the order in which they come. */
const renumber = (codes: readonly number[]): { readonly codes: Uint8Array; readonly k: number } => {
  const names = [...new Set(codes)];
  return { codes: Uint8Array.from(codes, (code) => names.indexOf(code)), k: names.length };
};

/** Whole plots as units: the strata in which their practices change places. */
type Units = {
  readonly places: readonly (readonly number[])[];
  readonly layouts: LayoutSet;
  readonly blocks: readonly ArrayLike<number>[];
  readonly labels: Uint8Array;
  readonly k: number;
};

const unitsOf = ({ wholePlots, practice }: SplitPlotRequest): Units => {
  const places = wholePlots.flat();
  let next = 0;
  const strata = wholePlots.map((group) => group.map(() => next++));
  const blocks = strata.length < 2 ? [] : [strata.flatMap((units, s) => units.map(() => s))];
  const { codes, k } = renumber(places.map(([first]) => practice[first]));
  return { places, layouts: { kind: 'strata', strata }, blocks, labels: codes, k };
};

const meanOf = (values: readonly number[]): number =>
  values.length === 0 ? NaN : values.reduce((sum, v) => sum + v, 0) / values.length;

/** Values less the mean of what they have within, which practices share: so a lost plot shifts no whole plot. */
const levelled = ({ y, within }: SplitPlotRequest): Float64Array => {
  if (within === undefined) return y;
  const lists = new Map<number, number[]>();
  y.forEach((v, p) => {
    if (!Number.isNaN(v)) lists.set(within[p], [...(lists.get(within[p]) ?? []), v]);
  });
  const means = new Map([...lists].map(([level, list]) => [level, meanOf(list)]));
  return y.map((v, p) => v - (means.get(within[p]) ?? 0));
};

const wholePlotMeans = (values: Float64Array, { places }: Units): Float64Array =>
  Float64Array.from(places, (plots) =>
    meanOf(plots.map((p) => values[p]).filter((v) => !Number.isNaN(v))),
  );

type ByF = Parameters<typeof exactTest>[0];

const byF = (options: ByF): StratumTest => {
  const test = exactTest({ ...options, pairs: false });
  if (test.kind === 'refused') return test;
  const { p, smallestP, layouts, enumerated } = test;
  return { kind: 'tested', p, smallestP, layouts, enumerated };
};

const practiceTest = (
  request: SplitPlotRequest,
  units: Units,
  values: Float64Array,
): StratumTest => {
  if (units.k < 2) return { kind: 'refused', reason: 'not-crossed' };
  const { labels, layouts, blocks, k } = units;
  const y = wholePlotMeans(values, units);
  return byF({ ...budget(request), y, labels, layouts, blocks, treatments: k });
};

const budget = ({ seed, draws, maxLayouts }: SplitPlotRequest) => ({
  seed,
  ...(draws === undefined ? {} : { draws }),
  ...(maxLayouts === undefined ? {} : { maxLayouts }),
});

const withinTest = (request: SplitPlotRequest, { places }: Units): StratumTest => {
  const { y, treatment, within } = request;
  const { codes, k } = renumber(Array.from(within ?? treatment));
  const factor = new Int32Array(y.length);
  places.forEach((plots, w) => {
    for (const p of plots) factor[p] = w;
  });
  const layouts: LayoutSet = { kind: 'strata', strata: places };
  return byF({ ...budget(request), y, labels: codes, layouts, blocks: [factor], treatments: k });
};

/** Of every level within: what each whole plot has there beyond its own mean; NaN where it has none. */
const profiles = (
  request: SplitPlotRequest,
  units: Units,
  values: Float64Array,
): Float64Array[] => {
  const { within = [] } = request;
  const means = wholePlotMeans(values, units);
  return [...new Set(Array.from(within))].map((level) =>
    Float64Array.from(units.places, (plots, w) => {
      const here = plots.filter((p) => within[p] === level).map((p) => values[p] - means[w]);
      return meanOf(here.filter((v) => !Number.isNaN(v)));
    }),
  );
};

/** Sum over levels of the sums of squares between practices: that of practice x treatment. */
const interactionScore = (rows: readonly Float64Array[], { blocks, k }: Units) => {
  const scores = rows.map((row) => layoutScorer(fitBlocks(row, blocks), k));
  return (labels: ArrayLike<number>): number => {
    let sum = 0;
    for (const score of scores) sum += score(labels).extreme;
    return sum;
  };
};

/** Whole plots may all be visited up to here; each needs a small fit for every level. */
const MAX_LAYOUTS = 100_000;
const DRAWS = 50_000;

const interactionTest = (
  request: SplitPlotRequest,
  units: Units,
  values: Float64Array,
): StratumTest => {
  if (units.k < 2 || request.within === undefined)
    return { kind: 'refused', reason: 'not-crossed' };
  const { labels, layouts, k } = units;
  const rows = profiles(request, units, values);
  const size = values.reduce((top, v) => (Number.isNaN(v) ? top : Math.max(top, Math.abs(v))), 0);
  const spread = rows.reduce((sum, row) => sum + fitBlocks(row, units.blocks).ss, 0);
  if (!(spread > (1e-12 * size) ** 2)) return { kind: 'refused', reason: 'no-spread' };
  const total = countLayouts(layouts, labels, k) ?? 1n;
  if (total === 1n) return { kind: 'refused', reason: 'one-layout' };
  const score = interactionScore(rows, units);
  const limit = score(labels) * (1 - 1e-9) - 1e-12 * spread;
  const enumerated = total <= BigInt(request.maxLayouts ?? MAX_LAYOUTS);
  const draws = enumerated ? Number(total) : (request.draws ?? DRAWS);
  const least = smallestShare(layouts, labels, k) ?? 0;
  let hits = 0;
  const visit = (row: ArrayLike<number>): void => {
    if (score(row) >= limit) hits++;
  };
  if (enumerated && layouts.kind === 'strata') {
    const none = new Float64Array(labels.length);
    walkStrata({ strata: layouts.strata, labels, k, values: none }, visit);
  } else {
    const next = redraw({ labels, layouts, random: createRandom(request.seed) });
    for (let draw = 0; draw < draws; draw++) visit(next());
  }
  return {
    kind: 'tested',
    p: enumerated ? hits / draws : (1 + hits) / (1 + draws),
    smallestP: enumerated ? least : Math.max(least, 1 / (1 + draws)),
    layouts: BigInt(draws),
    enumerated,
  };
};

/**
 * The three questions of a split plot, each by the relabelings that its own draw allows (as
 * Anderson & ter Braak 2003, J. Stat. Comput. Simul. 73:85, restrict them to the units that were
 * exchangeable).
 *
 * - `practice`: whole plots change places within their block with whatever stands in them. F of the
 *   practices on whole-plot means adjusted for blocks. Exact where a practice changes no plot,
 *   whatever the treatments within do.
 * - `within`: treatments change places within each whole plot only. F of the treatments adjusted for
 *   whole plots: of `within`, or of treatments as such where practices have none in common. Exact
 *   where no treatment changes any plot under any practice, whatever the practices do.
 * - `interaction`: whole plots again change places; what is looked at is how each treatment's plot
 *   differs from its whole plot's mean, and the sum of squares of practice x treatment of these.
 *   Exact where treatments differ alike under all practices, whatever both do by themselves: then
 *   these differences don't depend on the practice. It has only the few layouts of the practices.
 *
 * All layouts are visited where they are few, else some drawn, p = (1 + hits) / (1 + draws).
 *
 * @throws RangeError for values and codes that do not fit together.
 */
export function splitPlotTest(request: SplitPlotRequest): SplitPlotTest {
  const { y, treatment, practice, within, wholePlots } = request;
  for (const codes of [treatment, practice, ...(within === undefined ? [] : [within])])
    if (codes.length !== y.length)
      throw new RangeError(
        `codes and values must be equally many; got ${codes.length} and ${y.length}`,
      );
  for (const plots of wholePlots.flat())
    if (plots.some((p) => practice[p] !== practice[plots[0]]))
      throw new RangeError(`a whole plot must have one practice; plots ${plots.join()} have more`);
  const units = unitsOf(request);
  const values = levelled(request);
  return {
    practice: practiceTest(request, units, values),
    within: withinTest(request, units),
    interaction: interactionTest(request, units, values),
  };
}
