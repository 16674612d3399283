import type { Json } from '@fairbed/notebook';
import { type ScoreField, scoreFields, scoreThing } from '@fairbed/trial';
import type { OpenBook } from '../book/liveBook';
import type { Stop } from './walk';

/** One figure of a halt; `disease` only for another than the target. */
export type FigurePlace = { readonly field: ScoreField; readonly disease?: string | undefined };

/** A round and a halt in it. */
export type Here = { readonly round: string; readonly stop: Stop };

export const thingAt = ({ round, stop }: Here, { field, disease }: FigurePlace): string =>
  scoreThing({
    round,
    plot: stop.plot,
    ...(stop.plant === undefined ? {} : { plant: stop.plant }),
    ...(disease === undefined ? {} : { disease }),
    field,
  });

/** What stands for a figure in the book; undefined where nothing does. */
export const figureAt = (open: OpenBook, here: Here, place: FigurePlace): Json | undefined =>
  open.book.current('score', thingAt(here, place));

/** A figure that is a number, as most are. */
export function numberAt(open: OpenBook, here: Here, place: FigurePlace): number | undefined {
  const value = figureAt(open, here, place);
  return typeof value === 'number' ? value : undefined;
}

const counting = scoreFields.filter((field) => field !== 'note' && field !== 'skipped');

/** Whether a halt has a figure of any kind, skipped ones not. */
export function isScored(open: OpenBook, here: Here, diseases: readonly string[]): boolean {
  const other = diseases.slice(1);
  return counting.some(
    (field) =>
      figureAt(open, here, { field }) !== undefined ||
      other.some((disease) => figureAt(open, here, { field, disease }) !== undefined),
  );
}

/** Why a halt was skipped; undefined where it was not. */
export function skippedAt(open: OpenBook, here: Here): string | undefined {
  const why = figureAt(open, here, { field: 'skipped' });
  return typeof why === 'string' ? why : undefined;
}
