/** Nodes x and weights w with integral of exp(-x^2) f(x) dx = sum w f(x). */
export type QuadratureRule = { readonly nodes: Float64Array; readonly weights: Float64Array };

/** Orthonormal Hermite polynomials n and n-1 at x. */
const hermite = (n: number, x: number): readonly [number, number] => {
  let previous = 0;
  let current = Math.PI ** -0.25;
  for (let j = 0; j < n; j++) {
    const next = x * Math.sqrt(2 / (j + 1)) * current - Math.sqrt(j / (j + 1)) * previous;
    previous = current;
    current = next;
  }
  return [current, previous];
};

/** Number of roots above x, by the signs of the Sturm sequence. */
const rootsAbove = (n: number, x: number): number => {
  let previous = 0;
  let current = 1;
  let changes = 0;
  for (let j = 0; j < n; j++) {
    const next = x * Math.sqrt(2 / (j + 1)) * current - Math.sqrt(j / (j + 1)) * previous;
    if (next < 0 !== current < 0) changes++;
    const size = Math.max(Math.abs(next), Math.abs(current), 1e-300);
    previous = current / size;
    current = next / size;
  }
  return changes;
};

/**
 * Gauss-Hermite rule with `points` nodes, 1 to 100. Roots by bisection on the Sturm sequence and
 * Newton steps; weight 1 / (n h_{n-1}(x)^2) (Abramowitz & Stegun 25.4.46 in orthonormal form).
 */
export const gaussHermite = (points: number): QuadratureRule => {
  if (!Number.isInteger(points) || points < 1 || points > 100) {
    throw new RangeError(`quadrature points must be 1 to 100; got ${points}`);
  }
  const nodes = new Float64Array(points);
  const weights = new Float64Array(points);
  const bound = Math.sqrt(2 * points + 1);
  for (let k = 0; k < points; k++) {
    let low = -bound;
    let high = bound;
    for (let step = 0; step < 30; step++) {
      const middle = (low + high) / 2;
      if (rootsAbove(points, middle) > points - 1 - k) low = middle;
      else high = middle;
    }
    let x = (low + high) / 2;
    for (let step = 0; step < 3; step++) {
      const [h, before] = hermite(points, x);
      x -= h / (Math.sqrt(2 * points) * before);
    }
    nodes[k] = 2 * k === points - 1 ? 0 : x;
    weights[k] = 1 / (points * hermite(points, nodes[k])[1] ** 2);
  }
  return { nodes, weights };
};
