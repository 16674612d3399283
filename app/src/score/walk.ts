import { type Plot, type Trial, walkOrder } from '@fairbed/trial';

/** One halt of a round: a plant, or a plot that is scored in whole. */
export type Stop = { readonly plot: string; readonly code: string; readonly plant?: string };

/** What a screen calls a plot: what its stake says. */
export const codeOf = (plot: Plot): string => plot.code ?? plot.id;

type Lost = { readonly lost?: { readonly day?: string | undefined } | undefined };

/** Whether it stood on the day of a round: what was lost after it can still be put right in it. */
const stood = ({ lost }: Lost, day: string | undefined): boolean =>
  lost === undefined || (day !== undefined && lost.day !== undefined && lost.day > day);

/** Plots in the order of the shortest walk past them; as they are listed where places are unknown. */
function plotsInOrder(plots: readonly Plot[], beds: Trial['beds']): readonly Plot[] {
  const corner = new Map(beds.map(({ id, x, y }) => [id, { x: x ?? 0, y: y ?? 0 }]));
  const places = plots.flatMap(({ place }) => {
    const bed = place && corner.get(place.bed);
    if (place === undefined || bed === undefined) return [];
    return [{ ...place, x: place.x + bed.x, y: place.y + bed.y }];
  });
  if (places.length < plots.length) return plots;
  return walkOrder(places).flatMap((i) => plots[i] ?? []);
}

/**
 * The halts of a round in walking order: every plot that stood then, and in it every plant that is not
 * a guard plant, by number. Of a plot without listed plants, the plot in whole. Every other plot is
 * walked backwards, as one passes it.
 */
export function stopsOf(
  trial: Pick<Trial, 'plots' | 'plants' | 'beds'>,
  day?: string,
): readonly Stop[] {
  const standing = trial.plots.filter((plot) => stood(plot, day));
  const plots = plotsInOrder(standing, trial.beds);
  const byPlot = new Map<string, Trial['plants'][number][]>();
  for (const plant of trial.plants) {
    byPlot.set(plant.plot, [...(byPlot.get(plant.plot) ?? []), plant]);
  }
  return plots.flatMap((plot, i) => {
    const code = codeOf(plot);
    const listed = byPlot.get(plot.id) ?? [];
    if (listed.length === 0) return [{ plot: plot.id, code }];
    const scored = listed.filter((plant) => plant.guard !== true && stood(plant, day));
    const way = i % 2 === 0 ? scored : scored.toReversed();
    return way.map(({ id }) => ({ plot: plot.id, code, plant: id }));
  });
}

/** `Plot K7F, plant 3`. */
export const stopName = ({ code, plant }: Stop): string =>
  plant === undefined ? `Plot ${code}` : `Plot ${code}, plant ${plant}`;

/** Where a halt stands in a list; -1 where it does not. */
export const placeOf = (stops: readonly Stop[], { plot, plant }: Omit<Stop, 'code'>): number =>
  stops.findIndex((stop) => stop.plot === plot && stop.plant === plant);
