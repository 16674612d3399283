import { describe, expect, it } from 'vitest';
import { readAnswers } from '../../oracle/read';
import { normalDensity, normalQuantile } from '../distributions/normal';
import { classicalBounds, spendingBounds, stoppingChances } from './bounds';
import { repeatedIntervals, repeatedPValues } from './repeated';
import { alphaSpent, type Spending } from './spending';

type Classical = {
  readonly C: number;
  readonly z: readonly number[];
  readonly nominal_p: readonly number[];
};
type Spent = {
  readonly t: readonly number[];
  readonly z: readonly number[];
  readonly cum_alpha: readonly number[];
};
type Designs = Readonly<Record<'OBF' | 'Pocock' | 'WT25', Classical>> &
  Readonly<Record<'LD_OF' | 'LD_Pocock' | 'LD_power2', Spent>>;
type Answers = {
  readonly bounds: Readonly<Record<string, Designs>>;
  readonly uneven: Readonly<Record<'t_uneven_OF' | 't_uneven_PO', Spent>>;
  readonly operating_OBF_K4_05: readonly {
    readonly drift: number;
    readonly up: readonly number[];
    readonly down: readonly number[];
  }[];
};

const tol = {
  /** Both roads integrate to about 1e-12; R finds its roots to 1e-12 and states 1e-7. */
  oracle: 1e-9,
  /** Between our own roads. */
  integral: 1e-10,
  /** Tables with three decimals. */
  printed: 0.001,
};
const answers = readAnswers('i_group_sequential') as Answers;
const shapes = { OBF: 0, Pocock: 0.5, WT25: 0.25 } as const;
const spendings = {
  LD_OF: { kind: 'obrien-fleming' },
  LD_Pocock: { kind: 'pocock' },
  LD_power2: { kind: 'power', exponent: 2 },
} as const satisfies Record<string, Spending>;
const even: Spending = { kind: 'power', exponent: 1 };
const equal = (looks: number): number[] => Array.from({ length: looks }, (_, k) => (k + 1) / looks);
const worst = (ours: readonly number[], theirs: readonly number[]): number =>
  Math.max(...theirs.map((value, i) => Math.abs(value - ours[i])));

describe('bounds beside R (recursion with 200 nodes, oracle/i_group_sequential.json)', () => {
  const cases = Object.entries(answers.bounds).map(([name, designs]) => {
    const [looks, alpha] = name.slice(1).split('_a').map(Number);
    return { name, information: equal(looks), alpha, designs };
  });

  it.each(cases)('$name: all six designs', ({ information, alpha, designs }) => {
    for (const id of ['OBF', 'Pocock', 'WT25'] as const) {
      const ours = classicalBounds({ information, alpha, shape: shapes[id] });
      const { C, z, nominal_p } = designs[id];
      expect(Math.abs(ours.constant - C)).toBeLessThan(tol.oracle);
      expect(worst(ours.z, z)).toBeLessThan(tol.oracle);
      expect(worst(ours.nominalP, nominal_p)).toBeLessThan(tol.oracle);
    }
    for (const id of ['LD_OF', 'LD_Pocock', 'LD_power2'] as const) {
      const ours = spendingBounds({ information, alpha, spending: spendings[id] });
      const { z, cum_alpha } = designs[id];
      expect(worst(ours.z, z)).toBeLessThan(tol.oracle);
      expect(worst(ours.cumulativeAlpha, cum_alpha)).toBeLessThan(tol.oracle);
    }
  });

  it('uneven looks', () => {
    for (const [id, spending] of [
      ['t_uneven_OF', spendings.LD_OF],
      ['t_uneven_PO', spendings.LD_Pocock],
    ] as const) {
      const { t, z } = answers.uneven[id];
      const ours = spendingBounds({ information: t, alpha: 0.05, spending });
      expect(worst(ours.z, z)).toBeLessThan(tol.oracle);
    }
  });

  it('chances of stopping with a drift', () => {
    const bounds = classicalBounds({ information: equal(4), alpha: 0.05, shape: 0 });
    for (const { drift, up, down } of answers.operating_OBF_K4_05) {
      const ours = stoppingChances(bounds, drift);
      expect(worst(ours.up, up)).toBeLessThan(tol.oracle);
      expect(worst(ours.down, down)).toBeLessThan(tol.oracle);
    }
  });
});

describe('constants in print', () => {
  const constants = (shape: number, alpha: number, most: number): number[] =>
    Array.from(
      { length: most - 1 },
      (_, i) => classicalBounds({ information: equal(i + 2), alpha, shape }).constant,
    );

  it('O’Brien and Fleming: Jennison & Turnbull 2000, table 2.3', () => {
    const five = [1.977, 2.004, 2.024, 2.04, 2.053, 2.063, 2.072, 2.08, 2.087];
    expect(worst(constants(0, 0.05, 10), five)).toBeLessThan(tol.printed);
    expect(worst(constants(0, 0.01, 5), [2.58, 2.595, 2.609, 2.621])).toBeLessThan(tol.printed);
  });

  it('Pocock: Jennison & Turnbull 2000, table 2.1', () => {
    const five = [2.178, 2.289, 2.361, 2.413, 2.453, 2.485, 2.512, 2.535, 2.555];
    expect(worst(constants(0.5, 0.05, 10), five)).toBeLessThan(tol.printed);
    expect(worst(constants(0.5, 0.01, 5), [2.772, 2.873, 2.939, 2.986])).toBeLessThan(tol.printed);
  });

  it('looking every time at 1.96: Armitage, McPherson & Rowe 1969 (0.142 of 5, 0.193 of 10; from memory)', () => {
    const z = normalQuantile(0.025, 'upper');
    for (const [looks, share] of [
      [5, 0.142],
      [10, 0.193],
    ] as const) {
      const bounds = { z: equal(looks).map(() => z), information: equal(looks) };
      const { up, down } = stoppingChances(bounds, 0);
      const sum = [...up, ...down].reduce((a, b) => a + b);
      expect(Math.abs(sum - share)).toBeLessThan(tol.printed);
    }
  });
});

/** A slow road of its own: Simpson's rule over the whole line, nothing mirrored. */
function slowCrossing(z: readonly number[], information: readonly number[]): number[] {
  const points = 4001;
  let at = [0];
  let mass = [1];
  let before = 0;
  let sum = 0;
  return information.map((time, k) => {
    const sd = Math.sqrt(time - before);
    const bound = z[k] * Math.sqrt(time);
    const density = (y: number): number =>
      at.reduce((s, x, i) => s + mass[i] * normalDensity((y - x) / sd), 0) / sd;
    const stayed = (low: number, high: number): { at: number[]; mass: number[] } => {
      const step = (high - low) / (points - 1);
      const nodes = Array.from({ length: points }, (_, i) => low + i * step);
      const weight = (i: number): number =>
        ((i === 0 || i === points - 1 ? 1 : i % 2 === 1 ? 4 : 2) * step) / 3;
      return { at: nodes, mass: nodes.map((y, i) => density(y) * weight(i)) };
    };
    const total = mass.reduce((a, b) => a + b);
    const next = stayed(-bound, bound);
    ({ at, mass } = next);
    before = time;
    sum += total - mass.reduce((a, b) => a + b);
    return sum;
  });
}

describe('another road', () => {
  it('Simpson’s rule over the whole line gives the chances that the bounds were made for', () => {
    const information = [0.3, 0.34, 1];
    const bounds = spendingBounds({ information, alpha: 0.05, spending: spendings.LD_Pocock });
    const slow = slowCrossing(bounds.z, information);
    expect(worst(slow, bounds.cumulativeAlpha)).toBeLessThan(tol.integral);
  });

  it('many and crowded looks still spend what they should', () => {
    const information = [...equal(40).map((t) => t * 0.9), 0.901, 0.95, 1];
    for (const spending of [...Object.values(spendings), even]) {
      const { z, cumulativeAlpha } = spendingBounds({ information, alpha: 0.05, spending });
      const { up, down } = stoppingChances({ z, information }, 0);
      let sum = 0;
      const spent = up.map((chance, k) => (sum += chance + down[k]));
      expect(worst(spent, cumulativeAlpha)).toBeLessThan(tol.integral);
    }
  });
});

describe('spending', () => {
  it.each([...Object.values(spendings), even])('$kind rises from 0 to alpha', (spending) => {
    const spent = equal(50).map((t) => alphaSpent(spending, t, 0.05));
    expect(alphaSpent(spending, 0, 0.05)).toBe(0);
    expect(spent.at(-1)).toBe(0.05);
    expect(alphaSpent(spending, 3, 0.05)).toBe(0.05);
    expect(spent.every((s, i) => s >= (spent[i - 1] ?? 0) && s <= 0.05)).toBe(true);
  });

  it('one look spends all and is the fixed test', () => {
    const [z] = spendingBounds({ information: [1], alpha: 0.05, spending: even }).z;
    expect(z).toBeCloseTo(1.959963984540054, 12);
    expect(classicalBounds({ information: [1], alpha: 0.05, shape: 0 }).constant).toBeCloseTo(
      z,
      12,
    );
  });

  it('a bound does not move when more looks follow', () => {
    const information = [0.2, 0.5, 0.7, 1];
    for (const spending of Object.values(spendings)) {
      const whole = spendingBounds({ information, alpha: 0.05, spending }).z;
      const part = spendingBounds({ information: [0.2, 0.5], alpha: 0.05, spending }).z;
      expect(part).toEqual(whole.slice(0, 2));
    }
  });

  it('a look after all is spent has no bound', () => {
    const { z } = spendingBounds({ information: [0.5, 1, 1.2], alpha: 0.05, spending: even });
    expect(z[2]).toBe(Infinity);
  });

  it('names what is wrong', () => {
    const at = (information: number[], alpha = 0.05) =>
      spendingBounds({ information, alpha, spending: even });
    expect(() => at([])).toThrow('information');
    expect(() => at([0.5, 0.5])).toThrow('information must rise from above 0; got 0.5 after 0.5');
    expect(() => at([1], 1)).toThrow('alpha must be between 0 and 1; got 1');
    expect(() => alphaSpent({ kind: 'power', exponent: 0 }, 0.5, 0.05)).toThrow('exponent');
    expect(() => classicalBounds({ information: [0.5], alpha: 0.05, shape: 0 })).toThrow(
      'end at 1',
    );
    expect(() => classicalBounds({ information: [1], alpha: 0.05, shape: 1 })).toThrow('shape');
  });
});

describe('repeated p-values and intervals', () => {
  const information = equal(4);

  it('the p of a statistic on its bound is the error rate of the bounds', () => {
    for (const spending of [...Object.values(spendings), even]) {
      const { z } = spendingBounds({ information, alpha: 0.03, spending });
      information.forEach((_, k) => {
        const until = z.map((bound, i) => (i < k ? 0 : bound)).slice(0, k + 1);
        const p = repeatedPValues(until, information.slice(0, k + 1), spending);
        expect(p[k]).toBeCloseTo(0.03, 10);
      });
    }
  });

  it('what was shown at one look stays shown', () => {
    const p = repeatedPValues([1, 3.5, 1, 1], information, even);
    expect(p[0]).toBeGreaterThan(p[1]);
    expect(p[2]).toBe(p[1]);
    expect(p[3]).toBe(p[1]);
  });

  it('an interval leaves 0 out just when its statistic crosses the bound', () => {
    const { z } = spendingBounds({ information, alpha: 0.05, spending: spendings.LD_OF });
    const looks = [3, 3, -2.5, 1.5].map((value, k) => ({ estimate: value * (k + 1), se: k + 1 }));
    const intervals = repeatedIntervals(looks, z);
    looks.forEach(({ estimate, se }, k) => {
      const { low, high } = intervals[k];
      const out = low! > 0 || high! < 0;
      expect(out).toBe(Math.abs(estimate / se) > z[k]);
    });
    expect(repeatedIntervals([looks[0]], [Infinity])[0]).toEqual({
      low: undefined,
      high: undefined,
    });
  });
});
