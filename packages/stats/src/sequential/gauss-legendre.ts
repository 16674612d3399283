/** Nodes and weights of a rule on [-1, 1]. */
export type Rule = { readonly nodes: Float64Array; readonly weights: Float64Array };

const made = new Map<number, Rule>();

/** Legendre polynomial of degree n at x and its derivative, by the three-term recurrence. */
function legendre(n: number, x: number): { value: number; slope: number } {
  let before = 1;
  let value = x;
  for (let k = 2; k <= n; k++)
    [before, value] = [value, ((2 * k - 1) * x * value - (k - 1) * before) / k];
  return { value, slope: (n * (x * value - before)) / (x * x - 1) };
}

function makeRule(n: number): Rule {
  const nodes = new Float64Array(n);
  const weights = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    // Tricomi's start is close enough for Newton to reach full precision in a few steps.
    let x = -Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    for (let step = 0; step < 8; step++) {
      const { value, slope } = legendre(n, x);
      x -= value / slope;
    }
    const { slope } = legendre(n, x);
    nodes[i] = x;
    weights[i] = 2 / ((1 - x * x) * slope * slope);
  }
  return { nodes, weights };
}

/**
 * Gauss-Legendre rule of n >= 2 points on [-1, 1], exact for polynomials of degree 2n - 1
 * (Davis & Rabinowitz 1984, Methods of Numerical Integration, section 2.7). Each rule is made once.
 */
export function gaussLegendre(n: number): Rule {
  const known = made.get(n);
  if (known !== undefined) return known;
  const rule = makeRule(n);
  made.set(n, rule);
  return rule;
}
