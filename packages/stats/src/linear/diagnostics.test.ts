import { describe, expect, it } from 'vitest';
import { factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { normalScores, residualsOf } from './diagnostics';
import { fitLinear } from './fit';

const tol = { r: 1e-9, own: 1e-12, printed: 5e-5 };

type RRow = { fitted: number; residual: number; leverage: number; studentised: number };

describe('residuals against R lm, hatvalues, rstandard (R 4.2.2)', () => {
  it.each(['rcbd_4x4_missing', 'rcbd_6x5'])('%s', (name) => {
    const rows = readTable(name);
    const fit = fitLinear({
      y: numbersOf(rows, 'y'),
      terms: [factorOf(rows, 'block'), factorOf(rows, 'trt')],
    });
    const expected = (readAnswers('residuals') as Record<string, RRow[]>)[name];
    const got = residualsOf(fit);
    expect(got).toHaveLength(expected.length);
    got.forEach((row, i) => {
      for (const key of ['fitted', 'residual', 'leverage', 'studentised'] as const) {
        expect(Math.abs(row[key]! - expected[i][key])).toBeLessThan(tol.r);
      }
    });
  });
});

describe('leverages', () => {
  it('add up to the rank, whatever repeats in the design', () => {
    const codes = [0, 0, 1, 1, 2, 2];
    const levels = ['a', 'b', 'c'];
    const fit = fitLinear({
      y: [3, 1, 4, 1, 5, 9],
      terms: [
        { kind: 'factor', name: 'one', codes, levels },
        { kind: 'factor', name: 'same', codes, levels },
      ],
    });
    const sum = residualsOf(fit).reduce((total, { leverage }) => total + leverage, 0);
    expect(sum).toBeCloseTo(3, 12);
  });

  it('of 1 leave nothing to studentise', () => {
    const fit = fitLinear({
      y: [3, 1, 4],
      terms: [{ kind: 'factor', name: 'trt', codes: [0, 0, 1], levels: ['a', 'b'] }],
    });
    const [first, second, alone] = residualsOf(fit);
    expect(alone.studentised).toBeUndefined();
    expect(alone.normalScore).toBeUndefined();
    expect(first.studentised).toBeCloseTo(1, 12);
    expect(second.studentised).toBeCloseTo(-1, 12);
  });

  it('stay known where there is no variation to studentise by', () => {
    const fit = fitLinear({
      y: [2, 2, 2, 2],
      terms: [{ kind: 'factor', name: 'trt', codes: [0, 0, 1, 1], levels: ['a', 'b'] }],
    });
    for (const row of residualsOf(fit)) {
      expect(row.studentised).toBeUndefined();
      expect(row.leverage).toBeCloseTo(0.5, 12);
    }
  });
});

describe('normal scores', () => {
  it('are near the expected normal order statistics of five (1.16296 and 0.49502, from memory)', () => {
    // Blom's are an approximation: within 0.02 of the expected values.
    const scores = normalScores([5, 1, 4, 2, 3]);
    expect(Math.abs(scores[0] - 1.16296)).toBeLessThan(0.02);
    expect(Math.abs(scores[2] - 0.49502)).toBeLessThan(0.02);
    expect(Math.abs(scores[4])).toBeLessThan(tol.own);
    // qnorm((5 - 3/8) / 5.25), R 4.2.2.
    expect(Math.abs(scores[0] - 1.1797611176)).toBeLessThan(1e-9);
  });

  it('are shared by equal values', () => {
    const scores = normalScores([0.3, 0.1 + 0.2, 1]);
    expect(scores[0]).toBe(scores[1]);
  });
});
