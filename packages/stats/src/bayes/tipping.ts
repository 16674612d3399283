/** Two-sided 5 % point of the normal: like plots differ by more once in twenty. */
const ORDINARY = 1.959963984540054;

/**
 * Standard deviation between like plots at which a difference of two single plots would be
 * ordinary: |d| / (1.96 sqrt 2).
 */
export const tippingSd = (difference: number): number =>
  Math.abs(difference) / (ORDINARY * Math.SQRT2);

export type PlotCount = { readonly diseased: number; readonly leaves: number };

/** Log-odds of a leaf being diseased and its sampling variance, half a leaf added to each side. */
const logOdds = ({ diseased, leaves }: PlotCount) => {
  const y = diseased + 0.5;
  const n = leaves - diseased + 0.5;
  return { value: Math.log(y / n), variance: 1 / y + 1 / n };
};

/**
 * The same for counts: standard deviation between like plots, on the scale of log-odds, at which
 * the difference of two single plots would be ordinary, after what the number of leaves alone lets
 * happen (Haldane 1956, Ann. Human Genet. 20:309, for the halves). 0 where the leaves alone do.
 */
export const countTippingSd = (a: PlotCount, b: PlotCount) => {
  const first = logOdds(a);
  const second = logOdds(b);
  const difference = first.value - second.value;
  const left = (difference / ORDINARY) ** 2 - first.variance - second.variance;
  return { difference, plotSd: Math.sqrt(Math.max(0, left) / 2) };
};

/** Shares between which nineteen in twenty like plots lie, around one with this share. */
export const ordinaryShares = (share: number, plotSd: number) => {
  const at = (z: number) => 1 / (1 + ((1 - share) / share) * Math.exp(-z * plotSd));
  return { low: at(-ORDINARY), high: at(ORDINARY) };
};
