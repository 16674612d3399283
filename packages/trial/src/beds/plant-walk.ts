import { type Place, walkOrder } from './walk';

type Point = { readonly x: number; readonly y: number };

/** A plot and the plants of it that are walked past, in one frame of metres. */
export type PlantedPlot = { readonly place: Place; readonly plants: readonly Point[] };

/** Plants in rows along one axis, every other row backwards. */
function serpentine(plants: readonly Point[], rowsOn: 'x' | 'y'): number[] {
  const other = rowsOn === 'x' ? 'y' : 'x';
  const at = (i: number): Point => plants[i] ?? { x: 0, y: 0 };
  const rows = new Map<number, number[]>();
  plants.forEach((plant, i) => {
    const key = Math.round(plant[rowsOn] * 1000);
    rows.set(key, [...(rows.get(key) ?? []), i]);
  });
  return [...rows]
    .sort(([a], [b]) => a - b)
    .flatMap(([, row], k) => {
      const back = k % 2 === 1 ? -1 : 1;
      return row.sort((a, b) => back * (at(a)[other] - at(b)[other]) || a - b);
    });
}

const mirrored = (plants: readonly Point[], axis: 'x' | 'y'): Point[] =>
  plants.map((plant) => ({ ...plant, [axis]: -plant[axis] }));

/** Up and down the rows either way, from each of the four corners, and each walk backwards. */
function waysThrough(plants: readonly Point[]): number[][] {
  const faces = [plants, mirrored(plants, 'x'), mirrored(plants, 'y')];
  const ways = faces.flatMap((face) => [serpentine(face, 'x'), serpentine(face, 'y')]);
  const all = [...ways, ...ways.map((way) => [...way].reverse())];
  const unique = new Map(all.map((way) => [way.join(), way]));
  return [...unique.values()];
}

const apart = (a: Point | undefined, b: Point | undefined): number =>
  a && b ? Math.hypot(a.x - b.x, a.y - b.y) : 0;

type Way = { readonly order: readonly number[]; readonly inner: number };
type Reached = { readonly length: number; readonly before: number };

const costed = (plants: readonly Point[]): Way[] =>
  waysThrough(plants).map((order) => ({
    order,
    inner: order.slice(1).reduce((sum, i, k) => sum + apart(plants[order[k] ?? 0], plants[i]), 0),
  }));

/** The best way to have come to each way through this plot. */
const reach = (
  ways: readonly Way[],
  steps: (way: Way, k: number) => readonly number[],
): readonly Reached[] =>
  ways.map((way) => {
    let best: Reached = { length: way.inner, before: -1 };
    const lengths = steps(way, 0);
    lengths.forEach((length, k) => {
      if (k === 0 || length + way.inner < best.length - 1e-9) {
        best = { length: length + way.inner, before: k };
      }
    });
    return best;
  });

/**
 * Plots in the order of the shortest walk past their middles, and within each plot its plants up and
 * down the rows, entered at the corner that makes the whole walk shortest (dynamic programming over
 * the ways through each plot).
 *
 * @returns for each plot in turn its index and its plants' indices, in the order to walk them.
 */
export function walkPlants(
  plots: readonly PlantedPlot[],
  start?: Point,
): readonly { readonly plot: number; readonly plants: readonly number[] }[] {
  const order = walkOrder(
    plots.map((plot) => plot.place),
    start,
  );
  const turn = order.flatMap((i) => plots[i] ?? []);
  const ways = turn.map(({ plants }) => costed(plants));
  const reached: (readonly Reached[])[] = [];
  // Plots without plants are passed by: the walk goes on from the last plant before them.
  let last = -1;
  for (const [at, own] of ways.entries()) {
    const plants = turn[at]?.plants ?? [];
    const before = last;
    reached.push(
      reach(own, (way) => {
        const first = plants[way.order[0] ?? 0];
        if (before < 0) return start ? [apart(start, first)] : [];
        const from = turn[before]?.plants ?? [];
        return (ways[before] ?? []).map(
          (earlier, k) =>
            (reached[before]?.[k]?.length ?? 0) + apart(from[earlier.order.at(-1) ?? 0], first),
        );
      }),
    );
    if (plants.length > 0) last = at;
  }
  return chosenWays(order, ways, reached);
}

/** Back from the shortest end to the way taken through each plot. */
function chosenWays(
  order: readonly number[],
  ways: readonly (readonly Way[])[],
  reached: readonly (readonly Reached[])[],
) {
  const taken = new Array<number>(ways.length).fill(0);
  let next: number | undefined;
  for (let at = ways.length - 1; at >= 0; at--) {
    const here = reached[at] ?? [];
    if ((ways[at]?.[0]?.order.length ?? 0) === 0) continue;
    let choice = next;
    if (choice === undefined) {
      choice = here.reduce(
        (best, { length }, k) => (length < (here[best]?.length ?? Infinity) - 1e-9 ? k : best),
        0,
      );
    }
    taken[at] = choice;
    next = here[choice]?.before;
  }
  return order.map((plot, at) => ({ plot, plants: ways[at]?.[taken[at] ?? 0]?.order ?? [] }));
}
