import { describe, expect, it } from 'vitest';
import { numbersOf, readAnswers, readTable } from '../../oracle/read';
import { blocksOf, cycle, latinSquares } from '../../oracle/slow-layouts';
import { type ExactTest, type ExactTestOptions, exactTest } from './exact-test';

const tol = {
  /** Half the last digit printed. */
  printed: 5e-5,
  /** Monte Carlo: four standard errors. */
  sampled: (p: number, draws: number) => 4 * Math.sqrt((p * (1 - p)) / draws) + 1 / draws,
};

const tested = (options: ExactTestOptions): ExactTest => {
  const result = exactTest(options);
  if (result.kind !== 'tested') throw new Error(`refused: ${result.reason}`);
  return result;
};

const rcbd = (name: string, treatments: number, blocks: number): ExactTestOptions => ({
  y: Float64Array.from(numbersOf(readTable(name), 'y')),
  labels: cycle(treatments, blocks),
  layouts: blocksOf(treatments, blocks),
  treatments,
  control: 0,
  seed: 20261125,
});

describe('exact test of randomised blocks against R', () => {
  // Oracle c_perm_rcbd_4x4: R 4.2.2, all 24^3 arrangements with the first block fixed.
  const answers = readAnswers('c_perm_rcbd_4x4') as {
    exact_p: number;
    friedman_exact_p: number;
    AvsB: { signflip_exact_p: number };
    range_adjusted_pairwise: { i: string; j: string; p: number }[];
  };
  const options = rcbd('rcbd_4x4', 4, 4);
  const result = tested(options);

  it('walks all 331,776 layouts of 4 x 4 in 13,824 visits', () => {
    expect(result.p).toBeCloseTo(answers.exact_p, 12);
    expect(result.layouts).toBe(331_776n);
    expect(result.visits).toBe(13_824);
    expect(result.smallestP).toBeCloseTo(24 / 331_776, 15);
  });

  it('gives R’s single-step range p-values for all pairs', () => {
    for (const { i, j, p } of answers.range_adjusted_pairwise) {
      const ours = result.allPairs.find((r) => 'ABCD'[r.a] === i && 'ABCD'[r.b] === j);
      expect(ours?.p).toBeCloseTo(p, 12);
    }
  });

  it('gives R’s sign-flip p for A and B by exchanging only those two', () => {
    const b = result.versusControl?.find((c) => c.treatment === 1);
    expect(b?.pair.p).toBe(answers.AvsB.signflip_exact_p);
  });

  it('gives the same p-values without intervals by pairs', () => {
    const bare = tested({ ...options, pairs: false });
    expect(bare.p).toBe(result.p);
    for (const [i, { p, pStepDown, pair }] of (bare.versusControl ?? []).entries()) {
      expect(p).toBe(result.versusControl?.[i].p);
      expect(pStepDown).toBe(result.versusControl?.[i].pStepDown);
      expect(pair).toMatchObject({ low: null, high: null, reason: 'not-asked' });
    }
  });

  it('gives the exact Friedman p when fed ranks', () => {
    const ranks = Float64Array.from(options.y, (v, i) => {
      const first = i - (i % 4);
      return options.y.slice(first, first + 4).filter((w) => w <= v).length;
    });
    expect(tested({ ...options, y: ranks }).p).toBeCloseTo(answers.friedman_exact_p, 12);
  });

  it('samples 6 x 5 within Monte Carlo error of R’s own million', () => {
    const expected = readAnswers('c_perm_rcbd_6x5') as {
      mc1e6_p: number;
      AvsB: { signflip_exact_p: number };
    };
    const six = tested(rcbd('rcbd_6x5', 6, 5));
    expect(six.enumerated).toBe(false);
    expect(Math.abs(six.p - expected.mc1e6_p)).toBeLessThan(
      Math.SQRT2 * tol.sampled(expected.mc1e6_p, 1e6),
    );
    expect(six.total).toBe(720n ** 5n);
    expect(six.smallestP).toBeCloseTo(1 / (1 + six.visits), 15);
    expect(six.versusControl?.[0].pair.p).toBe(expected.AvsB.signflip_exact_p);
  });
});

describe('exact test of other designs', () => {
  it('finds 1726 of 32768 in Darwin’s maize (Fisher 1935, Design of Experiments, 21)', () => {
    const differences = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48];
    const y = Float64Array.from(differences.flatMap((d) => [0, d]));
    const options = {
      y,
      labels: cycle(2, 15),
      layouts: blocksOf(2, 15),
      treatments: 2,
      control: 0,
    };
    const result = tested({ ...options, seed: 1 });
    expect(result.p).toBe(1726 / 32768);
    expect(result.versusControl?.[0].p).toBe(1726 / 32768);
    expect(result.versusControl?.[0].pair.p).toBe(1726 / 32768);
    expect(result.smallestP).toBe(2 / 32768);
  });

  it('cannot do better than 0.125 with 2 treatments in 4 blocks', () => {
    const y = Float64Array.from([1, 9, 2, 8, 3, 9.5, 1.5, 7]);
    const set = { labels: cycle(2, 4), layouts: blocksOf(2, 4), treatments: 2, seed: 1 };
    const result = tested({ y, ...set });
    expect(result.smallestP).toBe(0.125);
    expect(result.p).toBe(0.125);
  });

  it('agrees with R’s F on a Latin square (Goulden 1952 p. 216: F 21.0321) and lists order 5', () => {
    const rows = readTable('goulden.latin').sort(
      (a, b) => Number(a.row) - Number(b.row) || Number(a.col) - Number(b.col),
    );
    const labels = Uint8Array.from(rows, (r) => 'ABCDE'.indexOf(r.trt));
    const squares = latinSquares(5);
    const list = new Uint8Array(squares.length * 25);
    squares.forEach((s, i) => list.set(s, i * 25));
    const codes = (name: string) => numbersOf(rows, name).map((x) => x - 1);
    const result = tested({
      y: Float64Array.from(numbersOf(rows, 'yield')),
      labels,
      layouts: { kind: 'list', labels: list, count: squares.length },
      treatments: 5,
      blocks: [codes('row'), codes('col')],
      control: 4,
      seed: 1,
    });
    expect(result.observed).toBeCloseTo(21.0321, 4);
    // 161,280 squares of order 5 (Fisher & Yates 1934); names alone make 120 of each.
    expect(result.total).toBe(161_280n);
    expect(result.smallestP).toBeCloseTo(120 / 161_280, 15);
    expect(result.p).toBeGreaterThanOrEqual(result.smallestP);
    expect(result.p).toBeLessThan(0.01);
  });

  it('agrees with Finney’s 8 x 8 square (F 21.067) sampled by a draw', () => {
    const rows = readTable('orchard-sprays');
    const y = Float64Array.from(numbersOf(rows, 'decrease'));
    const labels = Uint8Array.from(rows, (r) => 'ABCDEFGH'.indexOf(r.treatment));
    const row = numbersOf(rows, 'rowpos').map((x) => x - 1);
    const column = numbersOf(rows, 'colpos').map((x) => x - 1);
    const at = new Map(rows.map((_, p) => [row[p] * 8 + column[p], p]));
    const result = tested({
      y,
      labels,
      layouts: {
        kind: 'draw',
        draw: (random, out) => {
          const [r, c, names] = [0, 0, 0].map(() => Array.from({ length: 8 }, (_, i) => i));
          for (const order of [r, c, names]) random.shuffle(order);
          for (let i = 0; i < 8; i++)
            for (let j = 0; j < 8; j++)
              out[at.get(i * 8 + j)!] = names[labels[at.get(r[i] * 8 + c[j])!]];
        },
      },
      treatments: 8,
      blocks: [row, column],
      control: 7,
      draws: 2000,
      seed: 3,
    });
    expect(Math.abs(result.observed - 21.067)).toBeLessThan(tol.printed * 10);
    expect(result.total).toBeUndefined();
    expect(result.p).toBe(1 / 2001);
    expect(result.smallestP).toBe(1 / 2001);
    expect(result.versusControl?.[0].pair.reason).toBe('layouts-only-drawn');
  });
});
