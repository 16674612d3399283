import { present } from '../present';
import type { Trial } from '../schema';
import type { Fold, FoldedRounds } from './fold-parts';
import { leftOut, readThings } from './source';
import { eventSchema, harvestSchema, noteSchema, photoSchema, spraySchema } from './values';

/** What entries of the diary may refer to. */
export type DiaryFrame = {
  readonly plots: ReadonlySet<string>;
  readonly treatments: ReadonlySet<string>;
  readonly rounds: FoldedRounds['byId'];
};

type About = {
  readonly plot?: string | undefined;
  readonly plots?: readonly string[] | undefined;
  readonly round?: string | undefined;
  readonly treatment?: string | undefined;
};

/** What an entry refers to that is not there. */
function missing(about: About, frame: DiaryFrame): string | undefined {
  const { plot, plots = [], round, treatment } = about;
  if (treatment !== undefined && !frame.treatments.has(treatment))
    return `treatment “${treatment}”`;
  const lacking = [...(plot === undefined ? [] : [plot]), ...plots].find(
    (id) => !frame.plots.has(id),
  );
  if (lacking !== undefined) return `plot “${lacking}”`;
  return round === undefined || frame.rounds.has(round) ? undefined : `round “${round}”`;
}

const named: Readonly<Record<string, string>> = {
  spray: 'A spray',
  event: 'An event',
  harvest: 'A harvest',
  photo: 'A photo',
  note: 'A note',
};

/**
 * Sprays, events, harvests, photos and notes by day. One that refers to a plot, round or treatment
 * which is not there is left out and reported.
 */
export function foldDiary({ source, report }: Fold, frame: DiaryFrame) {
  const keep = <T extends About & { readonly day: string }>(
    kind: string,
    shape: Parameters<typeof readThings<T>>[1]['shape'],
  ) =>
    readThings(source, { kind, shape }, report)
      .filter(({ value }) => {
        const lacks = missing(value, frame);
        if (lacks === undefined) return true;
        const words = `${named[kind] ?? kind} of ${value.day} was left out: there is no ${lacks}.`;
        report(leftOut(words, 'Correct it, or take it back.'));
        return false;
      })
      .sort((a, b) => (a.value.day < b.value.day ? -1 : a.value.day > b.value.day ? 1 : 0));
  const roundOf = <T extends About>(value: T): T =>
    value.round === undefined
      ? value
      : { ...value, round: frame.rounds.get(value.round)?.id ?? value.round };
  return {
    sprays: keep('spray', spraySchema).map(({ value }) => value),
    events: keep('event', eventSchema).map(({ value }) => value),
    harvests: keep('harvest', harvestSchema).map(({ value }) => value),
    photos: keep('photo', photoSchema).flatMap(({ thing, value }) =>
      /^[0-9a-f]{64}$/.test(thing) ? [present({ hash: thing, ...roundOf(value) })] : [],
    ),
    notes: keep('note', noteSchema).flatMap(
      ({ thing, value }): NonNullable<Trial['notes']> =>
        thing === '' || thing.length > 200 || thing === '__proto__'
          ? []
          : [present({ id: thing, ...roundOf(value) })],
    ),
  };
}
