import { describe, expect, it } from 'vitest';
import { maximiseEven } from './boundary';
import { maximise, type Smooth } from './maximise';

// The information is taken a Newton step or two short of the top, so agrees a little less closely.
const tol = { optimised: 1e-6, information: 1e-4 };

/** Minus Rosenbrock's function: a curved ridge, top at (1, 1). */
const ridge: Smooth = (p, g) => {
  const [x, y] = p;
  if (g) {
    g[0] = 2 * (1 - x) + 400 * x * (y - x * x);
    g[1] = -200 * (y - x * x);
  }
  return -((1 - x) ** 2) - 100 * (y - x * x) ** 2;
};

describe('maximise', () => {
  it('climbs a curved ridge to its top, with the information there', () => {
    const top = maximise(ridge, Float64Array.of(-1.2, 1), { held: [false, false] });
    expect(top.converged).toBe(true);
    expect(Math.abs(top.point[0] - 1)).toBeLessThan(tol.optimised);
    expect(Math.abs(top.point[1] - 1)).toBeLessThan(tol.optimised);
    // Second derivatives at (1, 1): 802, -400, 200.
    [802, -400, -400, 200].forEach((v, k) => {
      expect(Math.abs(top.information[k] / v - 1)).toBeLessThan(tol.information);
    });
    expect(Math.abs(top.covariance![0] / 0.5 - 1)).toBeLessThan(1e-3);
  });

  it('leaves a held parameter where it is', () => {
    const top = maximise(ridge, Float64Array.of(0.5, 2), { held: [true, false] });
    expect(top.point[0]).toBe(0.5);
    expect(Math.abs(top.point[1] - 0.25)).toBeLessThan(tol.optimised);
    expect(top.covariance![0]).toBe(0);
  });
});

describe('maximiseEven', () => {
  const quadraticInX = (curve: number, fourth: number): Smooth => {
    return ([x, y], g) => {
      if (g) {
        g[0] = 2 * curve * x + 4 * fourth * x ** 3;
        g[1] = -2 * (y - 3);
      }
      return curve * x * x + fourth * x ** 4 - (y - 3) ** 2;
    };
  };
  const even = [true, false];

  it('takes zero exactly where zero is best', () => {
    const top = maximiseEven(quadraticInX(-1, -0.5), Float64Array.of(0.5, 0), even);
    expect(top.point[0]).toBe(0);
    expect(top.atZero).toEqual([true, false]);
    expect(Math.abs(top.point[1] - 3)).toBeLessThan(tol.optimised);
  });

  it('takes zero on a top flat to the fourth power', () => {
    const top = maximiseEven(quadraticInX(0, -1), Float64Array.of(0.5, 0), even);
    expect(top.point[0]).toBe(0);
  });

  it('reports a root inside as positive, whichever sign it was reached with', () => {
    for (const start of [0.1, -2]) {
      const top = maximiseEven(quadraticInX(1, -0.5), Float64Array.of(start, 0), even);
      expect(Math.abs(top.point[0] - 1)).toBeLessThan(tol.optimised);
      expect(top.atZero).toEqual([false, false]);
    }
  });

  it('leaves a top at zero for a higher one further out', () => {
    // -x^2 + 4 x^4 - 2 x^6: top at 0 (value 0), a dip, a higher top near 1.1.
    const hills: Smooth = ([x, y], g) => {
      if (g) {
        g[0] = -2 * x + 16 * x ** 3 - 12 * x ** 5;
        g[1] = -2 * y;
      }
      return -(x ** 2) + 4 * x ** 4 - 2 * x ** 6 - y * y;
    };
    const top = maximiseEven(hills, Float64Array.of(0.05, 0), even);
    expect(Math.abs(top.point[0] - Math.sqrt((4 + Math.sqrt(10)) / 6))).toBeLessThan(tol.optimised);
  });
});
