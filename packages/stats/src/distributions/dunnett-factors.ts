import type { FactorForm } from './factor-form';
import { normalDensity, upperTail } from './normal';

/** The form with loadings over the unique standard deviations, and the rule for the heaviest factor. */
export type Standardised = {
  readonly heaviest: Float64Array;
  readonly light: readonly Float64Array[];
  readonly spreads: Float64Array;
  readonly step: number;
};

/** Places of the light factors: what they add to the standardised contrasts, by rows, and weights. */
export type Places = { readonly shifts: Float64Array; readonly weights: Float64Array };

/** Half the line of the heaviest factor is walked no further than this beyond its centre. */
const REACH = 7.5;
const NEGLIGIBLE = 1e-13;
/** Past this product of reach and shift the far side is below 1e-14 of the near one. */
const ONE_SIDED = 16.2;
const CERTAIN = 1 - 1e-14;

/**
 * The factor form, ready to integrate. The heaviest factor takes a trapezoidal rule whose step is a
 * share of the narrowest unique spread, for the reasons given at productRule.
 */
export function standardise({ unique, factors }: FactorForm): Standardised {
  const spreads = unique.map(Math.sqrt);
  const [heaviest, ...light] = factors.map((f) => f.map((l, i) => l / spreads[i]));
  const share = Math.max(0.3, 0.82 - 0.135 * Math.log(spreads.length));
  return { heaviest, light, spreads, step: share * Math.min(...spreads) };
}

/**
 * P(some |X_i| > w) given the factors, for X_i / spread_i = shift_i + a standard normal, `reach` being
 * w / spread_i: gathered as out + (1 - out) B, all terms positive, so small tails keep their digits.
 */
export function outsideGiven(reach: Float64Array, shifts: Float64Array): number {
  let out = 0;
  for (let i = 0; i < reach.length; i++) {
    const shift = Math.abs(shifts[i]);
    let beyond = upperTail(reach[i] - shift);
    if (reach[i] * shift < ONE_SIDED) beyond += upperTail(reach[i] + shift);
    out += (1 - out) * beyond;
    if (out > CERTAIN) return 1;
  }
  return out;
}

/** Steps from the centre line at which the walk over the heaviest factor begins to die out. */
export function centreOf(w: number, { heaviest, spreads }: Standardised): number {
  let loading = 0;
  heaviest.forEach((a, i) => {
    loading = Math.max(loading, Math.abs(a) * spreads[i]);
  });
  return loading * w;
}

/**
 * P(max |X_i| > w) for normals in factor form, the light factors at their places. The probability is
 * even in all factors together and the places are symmetric, so half the line of the heaviest is enough.
 */
export function factorOutside(w: number, form: Standardised, places: Places): number {
  const { heaviest, spreads, step } = form;
  const m = heaviest.length;
  const reach = spreads.map((s) => w / s);
  const shifts = new Float64Array(m);
  const centre = centreOf(w, form);
  let sum = 0;
  for (let i = 0; i * step <= centre + REACH; i++) {
    const z = i * step;
    let given = 0;
    for (let q = 0; q < places.weights.length; q++) {
      for (let k = 0; k < m; k++) shifts[k] = heaviest[k] * z + places.shifts[q * m + k];
      given += places.weights[q] * outsideGiven(reach, shifts);
    }
    const term = (i === 0 ? 1 : 2) * step * normalDensity(z) * given;
    sum += term;
    if (z > centre && term < NEGLIGIBLE * sum) break;
  }
  return sum;
}

/** Tails of normals that one evaluation takes, about. */
export function workOf({ step, heaviest }: Standardised, places: number): number {
  return (8 / step) * places * 2 * heaviest.length;
}
