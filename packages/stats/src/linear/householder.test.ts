import { describe, expect, it } from 'vitest';
import { numbersOf, readTable } from '../../oracle/read';
import { slope } from './contrast';
import { fitLinear } from './fit';
import { solveForm, triangulate } from './householder';

// NIST certifies fifteen digits; R keeps eleven or so of these ill-conditioned ones.
const tol = { nist: 1e-9 };

describe('a badly conditioned regression', () => {
  it('Longley 1967, certified by NIST (StRD, linear regression, Longley)', () => {
    const rows = readTable('longley');
    // The file keeps employment, GNP and population in thousandths of NIST's units, two in tenths.
    const certified = [
      { name: 'GNP.deflator', unit: 1, slope: 15.0618722713733, se: 84.9149257747669 },
      { name: 'GNP', unit: 1000, slope: -0.035819179292591, se: 0.0334910077722432 },
      { name: 'Unemployed', unit: 10, slope: -2.02022980381683, se: 0.488399681651699 },
      { name: 'Armed.Forces', unit: 10, slope: -1.03322686717359, se: 0.214274163161675 },
      { name: 'Population', unit: 1000, slope: -0.0511041056535807, se: 0.22607320006937 },
      { name: 'Year', unit: 1, slope: 1829.15146461355, se: 455.478499142212 },
    ];
    const terms = certified.map(({ name, unit }) => ({
      kind: 'covariate' as const,
      name,
      values: numbersOf(rows, name).map((value) => value * unit),
    }));
    const fit = fitLinear({ y: numbersOf(rows, 'Employed').map((value) => value * 1000), terms });
    for (const row of certified) {
      const got = slope(fit, row.name);
      expect(Math.abs(got.estimate! / row.slope - 1)).toBeLessThan(tol.nist);
      expect(Math.abs(got.se! / row.se - 1)).toBeLessThan(tol.nist);
    }
    expect(fit.spread.known && Math.abs(fit.spread.sd / 304.854073561965 - 1)).toBeLessThan(
      tol.nist,
    );
  });
});

describe('triangulate', () => {
  // Columns 1, x, 2x - 1 (repeats), z; by rows (1, x, 2x - 1, z).
  const columns = () => Float64Array.of(1, 1, 1, 1, 0, 1, 2, 3, -1, 1, 3, 5, 1, 0, 0, 1);
  const y = () => Float64Array.of(2, 3, 5, 9);

  it('sets aside a repeated column and keeps the order of the others', () => {
    const got = triangulate(columns(), y());
    expect(got.rank).toBe(3);
    expect([...got.place]).toEqual([0, 1, -1, 2]);
  });

  it('rebuilds the crossproducts: R R = X X, and keeps the length of y', () => {
    const x = columns();
    const { r, rank, effects, residualSs } = triangulate(columns(), y());
    for (let i = 0; i < 4; i++) {
      for (let j = 0; j < 4; j++) {
        let ours = 0;
        let theirs = 0;
        for (let k = 0; k < rank; k++) ours += r[i * rank + k] * r[j * rank + k];
        for (let k = 0; k < 4; k++) theirs += x[i * 4 + k] * x[j * 4 + k];
        expect(ours).toBeCloseTo(theirs, 12);
      }
    }
    const length = effects.reduce((sum, value) => sum + value * value, residualSs);
    expect(length).toBeCloseTo(4 + 9 + 25 + 81, 11);
  });

  it('has residuals at right angles to every column', () => {
    const x = columns();
    const { residuals } = triangulate(columns(), y());
    for (let j = 0; j < 4; j++) {
      const product = residuals.reduce((sum, value, i) => sum + value * x[j * 4 + i], 0);
      expect(product).toBeCloseTo(0, 12);
    }
  });

  it('tells an estimable form from one that is not', () => {
    const triangle = triangulate(columns(), y());
    // A row of the design is always estimable; the slope of x apart from its repeat is not.
    expect(solveForm(triangle, Float64Array.of(1, 2, 3, 0))).toBeDefined();
    expect(solveForm(triangle, Float64Array.of(0, 1, 0, 0))).toBeUndefined();
    expect(solveForm(triangle, Float64Array.of(0, 1, 2, 0))).toBeDefined();
  });

  it('more columns than rows: the rest is set aside', () => {
    const got = triangulate(Float64Array.of(1, 1, 0, 1, 5, 7), Float64Array.of(1, 2));
    expect(got).toMatchObject({ rank: 2, residualSs: 0 });
    expect([...got.residuals]).toEqual([0, 0]);
  });
});
