import type { Trial } from '@fairbed/trial';

export type Photo = NonNullable<Trial['photos']>[number];

/** The photos of a trial in the order in which they were taken. */
export const inTime = (photos: readonly Photo[]): readonly Photo[] =>
  photos.toSorted((a, b) => {
    const when = ({ day, time = '' }: Photo): string => `${day} ${time}`;
    return when(a) < when(b) ? -1 : when(a) > when(b) ? 1 : 0;
  });

/** Photos of one plot, of one plant of it or of all, in the order of time. */
export const ofPlot = (
  photos: readonly Photo[],
  plot: string,
  plant: string | undefined,
): readonly Photo[] =>
  inTime(photos).filter((one) => one.plot === plot && (plant === undefined || one.plant === plant));

const natural = new Intl.Collator('en', { numeric: true }).compare;

/** Plants of a plot that have a photo, by number. */
export const plantsShown = (photos: readonly Photo[], plot: string): readonly string[] =>
  [...new Set(photos.flatMap((one) => (one.plot === plot && one.plant ? [one.plant] : [])))].sort(
    natural,
  );

/** Rounds that have a photo, latest first. */
export const roundsShown = ({
  rounds,
  photos = [],
}: Pick<Trial, 'rounds' | 'photos'>): readonly Trial['rounds'][number][] => {
  const shown = new Set(photos.map(({ round }) => round));
  return rounds.filter(({ id }) => shown.has(id)).toReversed();
};

/** Photos of one round plot by plot, plots in the order given; those of no plot are left out. */
export function sideBySide(
  photos: readonly Photo[],
  round: string,
  plots: readonly string[],
): readonly { readonly plot: string; readonly photos: readonly Photo[] }[] {
  const taken = inTime(photos).filter((one) => one.round === round);
  return plots.map((plot) => ({ plot, photos: taken.filter((one) => one.plot === plot) }));
}

/** Plots so that those of one treatment stand together once it may be seen; else as they are. */
export const plotsInOrder = (trial: Trial, revealed: boolean): readonly string[] => {
  const order = new Map(trial.treatments.map(({ id }, i) => [id, i]));
  const plots = revealed
    ? trial.plots.toSorted((a, b) => (order.get(a.treatment) ?? 0) - (order.get(b.treatment) ?? 0))
    : trial.plots;
  return plots.map(({ id }) => id);
};
