import type { JointMeasure } from '../exact/joint-measure';
import { type CallRegion, createCallRegion } from './call-region';
import type { ReferenceLayouts } from './reference-layouts';

/**
 * A reference set of largest statistics: of `perRow` sets of treatments in every row. Where
 * treatments can be renamed, all sets of one size share it.
 */
export type Region = {
  /** Which of the list. */
  readonly place: number;
  /** `perRow` sets of `width` treatments (places among those but the control), one after another. */
  readonly cells: Int32Array;
  readonly width: number;
  readonly perRow: number;
  readonly calls: CallRegion;
};

/** That no treatment of a set has any effect. */
export type Hypothesis = {
  /** Places among the treatments but the control. */
  readonly treatments: readonly number[];
  /** Against which it is held. */
  readonly region: Region;
  /** Where its own statistic stands: member `at` of reference set `place`. */
  readonly member: { readonly place: number; readonly at: number };
};

export type Regions = {
  readonly list: readonly Region[];
  /** Those that decide on single treatments: one is called when all that hold it are. */
  readonly hypotheses: readonly Hypothesis[];
  /** No treatment has any effect. */
  readonly whole: Hypothesis;
};

/** Up to so many treatments beside the control, every set of them has bounds of its own. */
const CLOSED = 5;

/** The sets of `size` out of `things`, in the order of `things`. */
function setsOf(things: readonly number[], size: number): number[][] {
  if (size === 0) return [[]];
  return things.flatMap((first, i) =>
    setsOf(things.slice(i + 1), size - 1).map((rest) => [first, ...rest]),
  );
}

/**
 * Which statistics to keep of every row, and which hypotheses are held against them. With more than
 * five treatments beside the control only the set of all has bounds; each treatment is then held
 * against those with its own statistic.
 */
export function planRegions(reference: ReferenceLayouts, k: number, control: number): Regions {
  const { renamed, drawn, count } = reference;
  const labels = Array.from({ length: k }, (_, l) => l).filter((l) => l !== control);
  const places = labels.map((_, i) => i);
  const closed = places.length <= CLOSED;
  const list: Region[] = [];
  const addRegion = (sets: readonly (readonly number[])[]): Region => {
    const calls = createCallRegion(sets.length * count);
    const cells = Int32Array.from(sets.flat());
    const width = sets[0]?.length ?? 0;
    const region = { place: list.length, cells, width, perRow: sets.length, calls };
    list.push(region);
    return region;
  };
  /** What the row that stands for the drawn layout calls a set. */
  const asNamed = (set: readonly number[]): string =>
    set
      .map((i) => labels.indexOf(drawn.names[labels[i]]))
      .sort((a, b) => a - b)
      .join(' ');
  const hold = (region: Region, sets: readonly (readonly number[])[], set: readonly number[]) => {
    const at = sets.findIndex((one) => one.join(' ') === asNamed(set));
    return { treatments: set, region, member: { place: region.place, at: at * count + drawn.row } };
  };
  const hypothesesOf = (size: number): Hypothesis[] => {
    const sets = setsOf(places, size);
    const groups = renamed ? [sets] : sets.map((set) => [set]);
    return groups.flatMap((group) => {
      const region = addRegion(group);
      return group.map((set) => hold(region, group, set));
    });
  };
  const whole = hypothesesOf(places.length)[0];
  if (closed) {
    const smaller = places.slice(1).flatMap((size) => hypothesesOf(size));
    return { list, hypotheses: [whole, ...smaller], whole };
  }
  const singles = hypothesesOf(1).map((one) => ({ ...one, region: whole.region }));
  return { list, hypotheses: singles, whole };
}

/** One array a region, to hold its statistics look after look. */
export const statisticsFor = ({ list }: Regions): readonly Float64Array[] =>
  list.map(({ calls }) => new Float64Array(calls.size));

/**
 * The largest absolute statistic of each set of each region in every row: one array a region, all
 * rows of its first set, then of its second ...
 */
export function fillStatistics(
  { rows, count }: ReferenceLayouts,
  measure: JointMeasure,
  { list }: Regions,
  filled: readonly Float64Array[],
): void {
  const n = rows.length / count;
  const labels = new Uint8Array(n);
  const statistics = new Float64Array(measure.width);
  for (let row = 0; row < count; row++) {
    for (let p = 0, from = row * n; p < n; p++) labels[p] = rows[from + p];
    measure.write(labels, statistics, 0);
    for (let i = 0; i < statistics.length; i++) statistics[i] = Math.abs(statistics[i]);
    for (let r = 0; r < list.length; r++) {
      const { cells, width, perRow } = list[r];
      const out = filled[r];
      for (let set = 0, at = 0; set < perRow; set++) {
        let top = 0;
        for (let c = 0; c < width; c++) {
          const value = statistics[cells[at++]];
          if (value > top) top = value;
        }
        out[set * count + row] = top;
      }
    }
  }
}
