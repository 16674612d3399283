/** Which rows follow each other, and when: any clock, days or places in a list. */
export type SerialTimes = {
  readonly subject: ArrayLike<number>;
  readonly times: ArrayLike<number>;
};

/**
 * Residuals of one subject `gap` units apart correlate by rho^gap. With whole gaps (`ar1`) rho may
 * be negative; with others (`car1`, continuous time) it may not.
 */
export type Serial = {
  readonly kind: 'ar1' | 'car1';
  /** Length of a gap of 1, in units of `times`: the smallest distance of two times. */
  readonly unit: number;
  readonly subject: Int32Array;
  /** Gaps between rows, rows x rows; -1 between subjects. */
  readonly gapsOf: (rows: Int32Array) => Float64Array;
};

/** Times nearer to whole gaps than this are whole ones. */
const WHOLE = 1e-6;

/**
 * Measures time in smallest gaps.
 *
 * @throws RangeError for other lengths, times that are no numbers, or two rows of one subject at
 *   the same time.
 */
export function serialOf({ subject, times }: SerialTimes, n: number): Serial {
  if (subject.length !== n || times.length !== n) {
    throw new RangeError(`subject and times must have ${n} entries`);
  }
  const given = Float64Array.from(times);
  if (!given.every(Number.isFinite)) throw new RangeError('times must be finite');
  const all = [...new Set(given)].sort((a, b) => a - b);
  let unit = Infinity;
  for (let i = 1; i < all.length; i++) unit = Math.min(unit, all[i] - all[i - 1]);
  if (unit === Infinity) unit = 1;
  const steps = given.map((time) => (time - (all[0] ?? 0)) / unit);
  const whole = steps.every((step) => Math.abs(step - Math.round(step)) < WHOLE);
  const at = whole ? steps.map(Math.round) : steps;
  const codes = Int32Array.from(subject);
  const seen = new Set<string>();
  for (let i = 0; i < n; i++) {
    const key = `${codes[i]} ${at[i]}`;
    if (seen.has(key)) throw new RangeError(`subject ${codes[i]} has two rows at time ${given[i]}`);
    seen.add(key);
  }
  return {
    kind: whole ? 'ar1' : 'car1',
    unit,
    subject: codes,
    gapsOf: (rows) => {
      const m = rows.length;
      const gaps = new Float64Array(m * m).fill(-1);
      rows.forEach((i, a) => {
        rows.forEach((j, b) => {
          if (codes[i] === codes[j]) gaps[a * m + b] = Math.abs(at[i] - at[j]);
        });
      });
      return gaps;
    },
  };
}
