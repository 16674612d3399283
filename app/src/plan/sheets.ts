import type { Day } from '@fairbed/field';
import type { Sheet, SheetPlot } from '@fairbed/report/sheets';
import { type Trial, walkOrder } from '@fairbed/trial';
import { stakeHref } from '../route';
import { fileNameOf } from '../verdict/saveFile';

export type Paper = 'a4' | 'letter';
export type SheetId = 'stakes' | 'scorer' | 'sprayer' | 'blank';

type Plot = Trial['plots'][number];

/** Plots in the order in which the bed is walked; as they are numbered where their places are not known. */
export function walked({ plots, beds }: Pick<Trial, 'plots' | 'beds'>): readonly Plot[] {
  const corners = new Map(beds.map(({ id, x = 0, y = 0 }) => [id, { x, y }]));
  const places = plots.flatMap(({ place }) => {
    const corner = place && corners.get(place.bed);
    return place && corner ? [{ ...place, x: place.x + corner.x, y: place.y + corner.y }] : [];
  });
  if (places.length < plots.length) return plots;
  return walkOrder(places).flatMap((i) => plots[i] ?? []);
}

const sheetPlot = ({ id, code = id, block, place }: Plot): SheetPlot => ({ code, block, place });

const scoredIn = ({ plants }: Trial, plot: string): readonly string[] =>
  plants.filter((plant) => plant.plot === plot && plant.guard !== true).map(({ id }) => id);

/** What the QR of a stake opens: this app, where it was opened from. */
export const stakeUrl = (base: string, trial: string, code: string): string =>
  `${base}${stakeHref(trial, code)}`;

type SheetAsk = {
  readonly id: SheetId;
  readonly trial: Trial;
  readonly paper: Paper;
  readonly day: Day;
  /** The app's own address, without what stands behind `#`. */
  readonly base: string;
};

/** Makes one sheet. What writes it is read only now. */
export async function makeSheet({ id, trial, paper, day, base }: SheetAsk): Promise<Sheet> {
  const { scorerMapPdf, scoringSheetPdf, sprayerMapPdf, stakesPdf } = await import(
    '@fairbed/report/sheets'
  );
  const { beds, treatments, control, garden } = trial;
  const plots = walked(trial);
  const head = { title: trial.title, garden: garden?.name, paper, day };
  const names = treatments.flatMap(({ name, activeIngredient, cultivar }) =>
    [name, activeIngredient, cultivar].filter((word) => word !== undefined && word !== ''),
  ) as readonly string[];
  const blind = { ...head, plots: plots.map(sheetPlot), treatments: names };
  switch (id) {
    case 'stakes':
      return stakesPdf({ ...blind, urlOf: (code) => stakeUrl(base, trial.id, code) });
    case 'scorer':
      return scorerMapPdf({ ...blind, beds });
    case 'sprayer':
      return sprayerMapPdf({
        ...head,
        beds,
        treatments,
        control,
        plots: plots.map((plot) => ({ ...sheetPlot(plot), treatment: plot.treatment })),
      });
    case 'blank':
      return scoringSheetPdf({
        ...blind,
        plots: plots.map((plot) => ({ ...sheetPlot(plot), plants: scoredIn(trial, plot.id) })),
        diseases: trial.diseases.map(({ name }) => name),
      });
  }
}

const fileWords: Readonly<Record<SheetId, string>> = {
  stakes: 'stakes',
  scorer: 'map-for-the-scorer',
  sprayer: 'map-for-spraying',
  blank: 'scoring-sheet',
};

export const sheetFile = (title: string, id: SheetId, paper: Paper): string =>
  `${fileNameOf(title)}-${fileWords[id]}-${paper}.pdf`;
