import { expect, it } from 'vitest';
import { inversePositive } from './dense';
import { gaussHermite } from './gauss-hermite';
import { orthogonalise } from './orthogonal';
import {
  factorise,
  invertOnPattern,
  layOut,
  logDeterminant,
  lowerSlot,
  solveInPlace,
  upperSlot,
} from './sparse';

const tol = { closedForm: 1e-12 };

/** A ring with chords: its factor fills in. */
const size = 9;
const pairs: [number, number][] = [
  ...Array.from({ length: size }, (_, i): [number, number] => [i, (i + 1) % size]),
  [0, 4],
  [2, 7],
];
const entry = (a: number, b: number) => ((a * 7 + b * 7 + a * b * 3) % 5) / 5 - 0.4;
const build = () => {
  const m = layOut(size, pairs);
  const dense = new Float64Array(size * size);
  for (let k = 0; k < size; k++) {
    dense[k * size + k] = m.values[m.columnStart[k + 1] - 1] = 3 + k / 3;
  }
  for (const [a, b] of pairs) {
    dense[a * size + b] = dense[b * size + a] = m.values[upperSlot(m, a, b)] = entry(a, b);
  }
  return { m, dense };
};

it('factors, solves and inverts as the dense route does, fill included', () => {
  const { m, dense } = build();
  expect(factorise(m)).toBe(true);
  const inverse = inversePositive(dense, size)!;
  invertOnPattern(m);
  for (let k = 0; k < size; k++) {
    expect(Math.abs(m.inverseDiagonal[k] - inverse[k * size + k])).toBeLessThan(tol.closedForm);
  }
  for (const [a, b] of pairs) {
    const got = m.inverseLower[lowerSlot(m, a, b)];
    expect(Math.abs(got - inverse[a * size + b])).toBeLessThan(tol.closedForm);
  }
  const b = Float64Array.from({ length: size }, (_, i) => Math.sin(i + 1));
  const x = b.slice();
  solveInPlace(m, x);
  for (let i = 0; i < size; i++) {
    let sum = 0;
    for (let k = 0; k < size; k++) sum += dense[i * size + k] * x[k];
    expect(Math.abs(sum - b[i])).toBeLessThan(tol.closedForm);
  }
});

it('gives the determinant of a matrix worked by hand', () => {
  const m = layOut(2, [[0, 1]]);
  m.values.set([4, 2, 5]);
  expect(factorise(m)).toBe(true);
  expect(Math.abs(logDeterminant(m) - Math.log(16))).toBeLessThan(tol.closedForm);
});

it('says when the matrix is not positive definite', () => {
  const m = layOut(2, [[0, 1]]);
  m.values.set([1, 2, 1]);
  expect(factorise(m)).toBe(false);
});

it('nested groups cause no fill: one entry of L for each entry of the matrix', () => {
  const links: [number, number][] = [];
  for (let plant = 0; plant < 96; plant++) {
    const plot = 96 + Math.floor(plant / 6);
    const block = 112 + Math.floor(plant / 24);
    links.push([plant, plot], [plant, block], [plot, block]);
  }
  const m = layOut(116, links);
  expect(m.lowerRow.length).toBe(m.row.length - 116);
});

it('Gauss-Hermite: moments of the normal, and the printed 5-point rule', () => {
  // Abramowitz & Stegun 1964, table 25.10, n = 5.
  const five = gaussHermite(5);
  expect(Math.abs(five.nodes[4] - 2.020182870456086)).toBeLessThan(1e-14);
  expect(Math.abs(five.weights[4] - 0.01995324205905)).toBeLessThan(1e-13);
  expect(Math.abs(five.weights[2] - 0.9453087204829)).toBeLessThan(1e-12);
  for (const points of [1, 2, 11, 25, 60, 100]) {
    const { nodes, weights } = gaussHermite(points);
    const moment = (k: number) => nodes.reduce((sum, x, i) => sum + weights[i] * x ** k, 0);
    expect(Math.abs(moment(0) / Math.sqrt(Math.PI) - 1)).toBeLessThan(1e-12);
    expect(Math.abs(moment(1))).toBeLessThan(1e-12);
    if (points > 1) expect(Math.abs(moment(2) / Math.sqrt(Math.PI) - 0.5)).toBeLessThan(1e-12);
    if (points > 3) expect(Math.abs(moment(6) / Math.sqrt(Math.PI) - 1.875)).toBeLessThan(1e-11);
  }
  expect(() => gaussHermite(0)).toThrow(/1 to 100/);
});

it('orthogonalises, keeps the span and names a dependent column', () => {
  const rows = 6;
  const columns = [
    [1, 1, 1, 1, 1, 1],
    [1, 1, 1, 0, 0, 0],
    [0, 0, 0, 1, 1, 1],
    [2, 5, 1, 8, 3, 4],
  ];
  const x = Float64Array.from({ length: 24 }, (_, k) => columns[k % 4][Math.floor(k / 4)]);
  const q = orthogonalise(x, rows, 4);
  expect(q.kept).toEqual([0, 1, 3]);
  expect(q.dropped).toEqual([2]);
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      let sum = 0;
      for (let i = 0; i < rows; i++) sum += q.matrix[i * 3 + a] * q.matrix[i * 3 + b];
      expect(Math.abs(sum / rows - Number(a === b))).toBeLessThan(tol.closedForm);
    }
  }
});
