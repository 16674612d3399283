/** Both lists are usable: as long as each other, finite, the days rising. */
function inOrder(days: readonly number[], values: readonly number[]): boolean {
  if (days.length !== values.length) return false;
  return days.every(
    (day, i) =>
      Number.isFinite(day) &&
      Number.isFinite(values[i]) &&
      (i === 0 || day > (days[i - 1] ?? Infinity)),
  );
}

/**
 * Area under a curve that may drop at a round: `after[i]` is what is left just after round i, so
 * the stretch to the next round is (after[i] + values[i + 1]) / 2 x days. With `after` equal to
 * `values` this is the trapezoid rule. Unit: that of the values times days. Undefined with fewer
 * than two rounds, days that do not rise or a number that is not finite.
 */
export function areaWithDrops(
  days: readonly number[],
  values: readonly number[],
  after: readonly number[],
): number | undefined {
  if (days.length < 2 || !inOrder(days, values) || !inOrder(days, after)) return undefined;
  let area = 0;
  for (let i = 1; i < days.length; i++) {
    const width = (days[i] ?? 0) - (days[i - 1] ?? 0);
    area += (((after[i - 1] ?? 0) + (values[i] ?? 0)) / 2) * width;
  }
  return area;
}

/**
 * Area under the disease progress curve by the trapezoid rule: sum of (y_i + y_i+1) / 2 x
 * (t_i+1 - t_i); days need not be evenly spaced. Shaner & Finney 1977, Phytopathology 67:1051.
 * Undefined with fewer than two rounds.
 */
export const audpc = (days: readonly number[], values: readonly number[]): number | undefined =>
  areaWithDrops(days, values, values);

const spanOf = (days: readonly number[]): number => (days.at(-1) ?? 0) - (days[0] ?? 0);

/** AUDPC over the days it covers: the mean height of the curve, in the unit of the values. */
export function standardisedAudpc(
  days: readonly number[],
  values: readonly number[],
): number | undefined {
  const area = audpc(days, values);
  return area === undefined ? undefined : area / spanOf(days);
}

/**
 * Area under the disease progress stairs: AUDPC + (y_1 + y_n) / 2 x D / (n - 1), D the days from
 * first to last round. It gives the first and the last round the weight of the others.
 * Simko & Piepho 2012, Phytopathology 102:381. Undefined with fewer than two rounds.
 */
export function audps(days: readonly number[], values: readonly number[]): number | undefined {
  const area = audpc(days, values);
  if (area === undefined) return undefined;
  const ends = ((values[0] ?? 0) + (values.at(-1) ?? 0)) / 2;
  return area + (ends * spanOf(days)) / (days.length - 1);
}

/** AUDPS over D n / (n - 1), the width of its stairs; in the unit of the values (same source). */
export function standardisedAudps(
  days: readonly number[],
  values: readonly number[],
): number | undefined {
  const area = audps(days, values);
  return area === undefined ? undefined : area / ((spanOf(days) * days.length) / (days.length - 1));
}

/** Day of the first round with more than `above`; undefined where it never came to that. */
export function onset(
  days: readonly number[],
  values: readonly number[],
  above = 0,
): number | undefined {
  const first = values.findIndex((value) => value > above);
  return first < 0 ? undefined : days[first];
}
