import type { Book, Entry } from '@fairbed/notebook';
import { thingOf } from '@fairbed/trial';
import type { Changed } from './listeners';

const byClock = (a: Entry, b: Entry): number =>
  a.clock < b.clock || (a.clock === b.clock && a.id < b.id) ? -1 : 1;

/** Plot and plant of a score's thing (round / plot / plant / disease / field), as it spells them. */
function placeIn(thing: string): string {
  const plot = thing.indexOf('/') + 1;
  const plant = thing.indexOf('/', plot) + 1;
  return thing.slice(plot, thing.indexOf('/', plant));
}

/**
 * Which scores are of which plant: made when it is first asked for and kept up from then on, so
 * that a plant's history does not look through a season. Things are never removed from a book.
 */
export function createPlantIndex(book: Book) {
  let places: Map<string, Set<string>> | undefined;
  const add = (to: Map<string, Set<string>>, kind: string, thing: string): void => {
    if (kind !== 'score') return;
    const place = placeIn(thing);
    const known = to.get(place);
    if (known) known.add(thing);
    else to.set(place, new Set([thing]));
  };
  const all = (): Map<string, Set<string>> => {
    const made = new Map<string, Set<string>>();
    for (const { kind, thing } of book.entries()) add(made, kind, thing);
    return made;
  };
  return {
    heard: (changed: Changed): void => {
      if (places) for (const [kind, thing] of changed) add(places, kind, thing);
    },
    history: (plot: string, plant = ''): readonly Entry[] => {
      places ??= all();
      return [...(places.get(thingOf(plot, plant)) ?? [])]
        .flatMap((thing) => book.history('score', thing))
        .sort(byClock);
    },
  };
}
