import { chiSquareQuantile } from '../distributions/gamma';
import type { Term } from './design';
import { fitLinear } from './fit';

export type BoxCox = {
  /** The power under which residuals are most nearly normal and alike; 0 stands for the logarithm. */
  readonly power: number;
  /** 95 % limits by the profile of the likelihood. */
  readonly low: number;
  readonly high: number;
  /** Log-likelihood (less a constant) at that power. */
  readonly logLik: number;
};

const range = { from: -3, to: 3 };
const coarse = 0.05;
const golden = (Math.sqrt(5) - 1) / 2;

const transformed = (y: readonly number[], power: number, geometric: number): Float64Array =>
  Float64Array.from(y, (value) =>
    Math.abs(power) < 1e-8
      ? geometric * Math.log(value)
      : (value ** power - 1) / (power * geometric ** (power - 1)),
  );

/**
 * The power of Box & Cox (1964, JRSS B 26:211, eq. 8) for values above 0 under a linear model, with
 * 95 % limits: where the profile lies within half the 95 % point of chi-square(1) of its top. Powers
 * from -3 to 3; a limit that lies beyond is given as that end. Undefined where a value is not above
 * 0 or nothing is left to measure spread by. It is shown beside the residuals; no scale is chosen
 * by it, because it leans on the treatments' own places.
 */
export function boxCox(y: readonly number[], terms: readonly Term[]): BoxCox | undefined {
  if (y.length < 3 || y.some((value) => !(value > 0))) return undefined;
  const geometric = Math.exp(y.reduce((sum, value) => sum + Math.log(value), 0) / y.length);
  const profile = (power: number): number => {
    const { residualSs } = residual(transformed(y, power, geometric), terms);
    return residualSs > 0 ? (-y.length / 2) * Math.log(residualSs / y.length) : -Infinity;
  };
  const steps = Math.round((range.to - range.from) / coarse);
  const grid = Array.from({ length: steps + 1 }, (_, i) => range.from + i * coarse);
  const heights = grid.map(profile);
  if (heights.every((height) => !Number.isFinite(height))) return undefined;
  const top = heights.indexOf(Math.max(...heights));
  const power = peak(profile, grid[Math.max(0, top - 1)], grid[Math.min(steps, top + 1)]);
  const logLik = profile(power);
  const cut = logLik - chiSquareQuantile(0.95, 1) / 2;
  const over = (at: number): boolean => profile(at) >= cut;
  return {
    power,
    low: over(range.from) ? range.from : crossing(over, range.from, power),
    high: over(range.to) ? range.to : crossing(over, range.to, power),
    logLik,
  };
}

function residual(y: Float64Array, terms: readonly Term[]): { residualSs: number } {
  const { anova } = fitLinear({ y, terms: [...terms] });
  return { residualSs: anova.find(({ source }) => source === 'residual')?.ss ?? 0 };
}

/** Golden section between two powers that hold one top. */
function peak(f: (at: number) => number, from: number, to: number): number {
  let [a, b] = [from, to];
  let [c, d] = [b - golden * (b - a), a + golden * (b - a)];
  let [fc, fd] = [f(c), f(d)];
  while (b - a > 1e-7) {
    if (fc > fd) {
      [b, d, fd] = [d, c, fc];
      c = b - golden * (b - a);
      fc = f(c);
    } else {
      [a, c, fc] = [c, d, fd];
      d = a + golden * (b - a);
      fd = f(d);
    }
  }
  return (a + b) / 2;
}

function crossing(over: (at: number) => boolean, outside: number, inside: number): number {
  let [out, within] = [outside, inside];
  while (Math.abs(out - within) > 1e-7) {
    const middle = (out + within) / 2;
    if (over(middle)) within = middle;
    else out = middle;
  }
  return (out + within) / 2;
}
