import { gaussHermite } from '../mixed/gauss-hermite';
import { centreOf, outsideGiven, type Places, type Standardised } from './dunnett-factors';

const FINEST = 48;
/** Sizes of the rules of a sparse grid, all with a node at 0. */
const LEVELS = [1, 3, 5, 9, 15, 25];
/** Products list a place more than once, up to about this often. */
const MOST_LISTED = 50;
/** Two factors together move the probability by about this many times the product of their own moves. */
const INTERACTION = 4;
/** Where rules for one light factor are tried: body to tail, beside the heaviest factor's centre. */
const TRIED = [1, 2, 3, 4.5].flatMap((w) => [0, 0.5, 1].map((share) => ({ w, share })));

/** Nodes and weights for the standard normal. */
type NormalRule = { readonly nodes: Float64Array; readonly weights: Float64Array };

const rules = new Map<number, NormalRule>();

function ruleOf(size: number): NormalRule {
  const known = rules.get(size);
  if (known) return known;
  const { nodes, weights } = gaussHermite(size);
  const rule = {
    nodes: nodes.map((x) => x * Math.SQRT2),
    weights: weights.map((w) => w / Math.sqrt(Math.PI)),
  };
  rules.set(size, rule);
  return rule;
}

/** Means over one light factor of the probability outside, the heaviest held and the others at 0. */
function tryRule(form: Standardised, factor: Float64Array, size: number): number[] {
  const { nodes, weights } = ruleOf(size);
  return TRIED.map(({ w, share }) => {
    const reach = form.spreads.map((s) => w / s);
    const z = share * centreOf(w, form);
    let sum = 0;
    nodes.forEach((x, q) => {
      sum +=
        weights[q] *
        outsideGiven(
          reach,
          factor.map((a, i) => a * x + form.heaviest[i] * z),
        );
    });
    return sum;
  });
}

/** For one light factor, how far off the rule of each level is at worst. */
function missesOf(form: Standardised, factor: Float64Array): number[] {
  const fine = tryRule(form, factor, FINEST);
  return LEVELS.map((size) => {
    const tried = tryRule(form, factor, size);
    return Math.max(...tried.map((p, i) => Math.abs(p - fine[i])));
  });
}

/** What a rule adds to the one a level below it: nodes of both, the weights of the lower negative. */
function addedBy(level: number): NormalRule {
  const [upper, lower] = [ruleOf(LEVELS[level]), ruleOf(LEVELS[level - 1])];
  return {
    nodes: Float64Array.of(...upper.nodes, ...lower.nodes),
    weights: Float64Array.of(...upper.weights, ...lower.weights.map((w) => -w)),
  };
}

/** Factors off their coarsest rule, each with its level. */
type Levels = readonly (readonly [factor: number, level: number])[];

/** Weights by place; a place is named by the nodes that are not 0. */
type Sparse = Map<string, { weight: number; readonly at: readonly (readonly [number, number])[] }>;

/** Adds the product of what the levels add, factor by factor. */
function addProduct(sparse: Sparse, levels: Levels): void {
  let points: { weight: number; at: (readonly [number, number])[] }[] = [{ weight: 1, at: [] }];
  for (const [factor, level] of levels) {
    const { nodes, weights } = addedBy(level);
    points = points.flatMap(({ weight, at }) =>
      Array.from(nodes, (x, q) => ({
        weight: weight * weights[q],
        at: x === 0 ? at : [...at, [factor, x] as const],
      })),
    );
  }
  for (const { weight, at } of points) {
    const name = at.map(([factor, x]) => `${factor}:${x}`).join();
    const known = sparse.get(name);
    if (known) known.weight += weight;
    else sparse.set(name, { weight, at });
  }
}

/**
 * A chooser of sparse grids (Smolyak 1963; anisotropic as in Gerstner & Griebel 2003, Computing 71:65):
 * those products of what ever finer rules add that may matter at the tolerance, judged by how far off
 * the coarser rule is for each factor alone. Undefined with more than `most` places, or when one factor
 * needs more than the finest rule.
 */
export function sparsePlaces(
  form: Standardised,
): (tolerance: number, most: number) => Places | undefined {
  const benefits = form.light.map((factor) =>
    missesOf(form, factor).map((miss) => Math.min(1, INTERACTION * miss)),
  );
  return (tolerance, most) => {
    const sparse: Sparse = new Map();
    // False when a factor needs more than the finest rule, or there are too many places.
    const visit = (from: number, benefit: number, levels: Levels): boolean => {
      // Counted first: a product over many factors may be far too large even to list.
      const listed = levels.reduce((count, [, level]) => count * (2 * LEVELS[level]), 1);
      if (sparse.size > most || listed > MOST_LISTED * most) return false;
      addProduct(sparse, levels);
      for (let j = from; j < benefits.length; j++) {
        for (let level = 1; benefit * benefits[j][level - 1] >= tolerance; level++) {
          const next: Levels = [...levels, [j, level]];
          const finer = level < LEVELS.length;
          if (!finer || !visit(j + 1, benefit * benefits[j][level - 1], next)) return false;
        }
      }
      return true;
    };
    return visit(0, 1, []) && sparse.size <= most ? placesOf(form, sparse) : undefined;
  };
}

function placesOf(form: Standardised, sparse: Sparse): Places {
  const m = form.spreads.length;
  const kept = [...sparse.values()].filter(({ weight }) => weight !== 0);
  const shifts = new Float64Array(kept.length * m);
  kept.forEach(({ at }, q) => {
    for (const [factor, x] of at) {
      for (let i = 0; i < m; i++) shifts[q * m + i] += form.light[factor][i] * x;
    }
  });
  return { shifts, weights: Float64Array.from(kept, ({ weight }) => weight) };
}
