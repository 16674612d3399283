/** A percentage, or the reason why there is none. A negative one means worse than the control. */
export type Efficacy =
  | { readonly percent: number; readonly why?: undefined }
  | { readonly percent: undefined; readonly why: EfficacyGap };

/**
 * `no-disease-in-control`: nothing to prevent, so nothing can be said (not 0, not 100).
 * `no-disease-before`: no starting level to compare with. `not-a-number`: a figure is missing.
 */
export type EfficacyGap = 'no-disease-in-control' | 'no-disease-before' | 'not-a-number';

const gap = (why: EfficacyGap): Efficacy => ({ percent: undefined, why });
const usable = (...numbers: readonly number[]): boolean =>
  numbers.every((n) => Number.isFinite(n) && n >= 0);

/**
 * Efficacy by Abbott (1925, J. Econ. Entomol. 18:265), percent: 100 (C - T) / C from the disease
 * of the control and of the treated plots. Take it of the two means: the mean of plot by plot
 * values is another number. The sign is kept.
 */
export function abbott(control: number, treated: number): Efficacy {
  if (!usable(control, treated)) return gap('not-a-number');
  if (control === 0) return gap('no-disease-in-control');
  return { percent: (100 * (control - treated)) / control };
}

/** Disease before the first treatment and after, in the control and in the treated plots. */
export type BeforeAndAfter = {
  readonly controlBefore: number;
  readonly controlAfter: number;
  readonly treatedBefore: number;
  readonly treatedAfter: number;
};

/**
 * Efficacy by Henderson & Tilton (1955, J. Econ. Entomol. 48:157), percent:
 * 100 (1 - Ta Cb / (Tb Ca)), for plots that were not alike at the start.
 */
export function hendersonTilton(levels: BeforeAndAfter): Efficacy {
  const { controlBefore, controlAfter, treatedBefore, treatedAfter } = levels;
  if (!usable(controlBefore, controlAfter, treatedBefore, treatedAfter)) return gap('not-a-number');
  if (controlBefore === 0 || treatedBefore === 0) return gap('no-disease-before');
  if (controlAfter === 0) return gap('no-disease-in-control');
  return {
    percent: 100 * (1 - (treatedAfter * controlBefore) / (treatedBefore * controlAfter)),
  };
}

/**
 * Efficacy by Sun & Shepard (1947, J. Econ. Entomol. 40:710), percent, from the percent by which
 * the treated fell and the percent by which the control changed (a rise is positive):
 * 100 (M + d) / (100 + d). The same number as {@link hendersonTilton}.
 */
export function sunShepard(treatedFellPercent: number, controlRosePercent: number): Efficacy {
  if (!Number.isFinite(treatedFellPercent) || !Number.isFinite(controlRosePercent)) {
    return gap('not-a-number');
  }
  if (controlRosePercent <= -100) return gap('no-disease-in-control');
  return {
    percent: (100 * (treatedFellPercent + controlRosePercent)) / (100 + controlRosePercent),
  };
}

/**
 * Share killed (or cleared) by the treatment alone, percent, after Schneider-Orelli (1947):
 * 100 (b - k) / (100 - k), b the percent dead in the treated and k in the control plots.
 */
export function schneiderOrelli(treatedPercent: number, controlPercent: number): Efficacy {
  if (!usable(treatedPercent, controlPercent)) return gap('not-a-number');
  if (controlPercent >= 100) return gap('no-disease-in-control');
  return { percent: (100 * (treatedPercent - controlPercent)) / (100 - controlPercent) };
}
