import { describe, expect, it } from 'vitest';
import { adjustedRow, fitLinear } from '../linear/fit';
import { leastSquaresMeans } from '../linear/lsmeans';
import { createRandom } from '../random';
import { exactTest } from './exact-test';

const [k, b] = [3, 3];
const n = k * b;
const blocks = Int32Array.from({ length: n }, (_, i) => Math.floor(i / k));
const strata = Array.from({ length: b }, (_, s) => Array.from({ length: k }, (_, i) => s * k + i));
const random = createRandom(20261125);
const base = Float64Array.from({ length: n }, () => 10 + 3 * random.normal());
const drawn = Uint8Array.from({ length: n }, (_, i) => (i + Math.floor(i / k)) % k);
const y = Float64Array.from(
  { length: n },
  (_, i) => 2 * base[i] + blocks[i] - 1.5 * drawn[i] + random.normal(),
);

const names = (count: number): string[] => Array.from({ length: count }, (_, i) => String(i));
const fitOf = (labels: ArrayLike<number>) =>
  fitLinear({
    y,
    terms: [
      { kind: 'factor', name: 'block', codes: blocks, levels: names(b) },
      { kind: 'covariate', name: 'base', values: base },
      { kind: 'factor', name: 'treatment', codes: labels, levels: names(k) },
    ],
  });
const fOf = (labels: ArrayLike<number>): number => adjustedRow(fitOf(labels), 'treatment').f ?? 0;

const orders = [
  [0, 1, 2],
  [0, 2, 1],
  [1, 0, 2],
  [1, 2, 0],
  [2, 0, 1],
  [2, 1, 0],
];
/** All 216 layouts of three blocks of three. */
const layouts = orders.flatMap((p) => orders.flatMap((q) => orders.map((r) => [...p, ...q, ...r])));

describe('the test of the layout with a covariate', () => {
  const got = exactTest({
    y,
    labels: drawn,
    layouts: { kind: 'strata', strata },
    treatments: k,
    control: 0,
    covariates: [base],
    seed: 1,
  });

  it('is the share of all layouts whose analysis of covariance has as large an F', () => {
    const observed = fOf(drawn);
    const share = layouts.filter((labels) => fOf(labels) >= observed * (1 - 1e-9)).length / 216;
    expect(got).toMatchObject({ kind: 'tested', enumerated: true, p: share });
    expect(got.kind === 'tested' && got.observed).toBeCloseTo(observed, 9);
  });

  it('gives the differences that the analysis of covariance gives', () => {
    const { means } = leastSquaresMeans(fitOf(drawn), 'treatment');
    const versus = got.kind === 'tested' ? (got.versusControl ?? []) : [];
    expect(versus).toHaveLength(2);
    for (const { treatment, difference, pair } of versus) {
      const want = (means[treatment].estimate ?? 0) - (means[0].estimate ?? 0);
      expect(difference).toBeCloseTo(want, 9);
      expect(pair).toMatchObject({ low: null, high: null, reason: 'covariates' });
    }
  });
});
