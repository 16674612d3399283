import type { Trial } from '@fairbed/trial';

/** A grouping of the plots by code: `codes[i]` is the place of plot i's level in `levels`. */
export type Grouping = { readonly levels: readonly string[]; readonly codes: Int32Array };

/** The plots of a trial as columns, in the order of the trial: what every analysis starts from. */
export type PlotTable = {
  readonly plots: readonly string[];
  /** Levels are names, as a grower reads them; only treatments that stand in a plot. */
  readonly treatment: Grouping;
  readonly block: Grouping | undefined;
  readonly row: Grouping | undefined;
  readonly column: Grouping | undefined;
  /** Whole plots of a split plot, each block with its own. */
  readonly wholePlot: Grouping | undefined;
  /** Place of the control among the treatments' levels. */
  readonly control: number;
};

/** Name of every treatment by its id; where two share a name, the id is added. */
export function treatmentNames(trial: Trial): ReadonlyMap<string, string> {
  const uses = new Map<string, number>();
  for (const { name } of trial.treatments) uses.set(name, (uses.get(name) ?? 0) + 1);
  return new Map(
    trial.treatments.map(({ id, name }) => [id, uses.get(name) === 1 ? name : `${name} (${id})`]),
  );
}

function grouping(
  labels: readonly (string | undefined)[],
  order: readonly string[] = [],
): Grouping | undefined {
  const places = new Map(order.map((level, place) => [level, place]));
  const codes = new Int32Array(labels.length);
  for (const [i, level] of labels.entries()) {
    if (level === undefined) return undefined;
    let place = places.get(level);
    if (place === undefined) {
      place = places.size;
      places.set(level, place);
    }
    codes[i] = place;
  }
  return { levels: [...places.keys()], codes };
}

/** A grouping of some of the plots; levels keep their places even where none is left. */
export const pick = (group: Grouping, plots: readonly number[]): Grouping => ({
  levels: group.levels,
  codes: Int32Array.from(plots, (i) => group.codes[i] ?? 0),
});

/**
 * Lays out the plots of a trial. Treatments keep the trial's order; a trial with blocks for only
 * some of its plots counts as having none. `control` is a treatment's id.
 */
export function plotTable(trial: Trial, control: string): PlotTable {
  const { plots } = trial;
  const names = treatmentNames(trial);
  const nameOf = (id: string): string => names.get(id) ?? id;
  const planted = new Set(plots.map(({ treatment }) => treatment));
  const order = trial.treatments.flatMap(({ id }) => (planted.has(id) ? [nameOf(id)] : []));
  const treatment = grouping(
    plots.map((plot) => nameOf(plot.treatment)),
    order,
  ) ?? { levels: [], codes: new Int32Array(0) };
  return {
    plots: plots.map(({ id }) => id),
    treatment,
    block: grouping(plots.map(({ block }) => block)),
    row: grouping(plots.map(({ row }) => row)),
    column: grouping(plots.map(({ column }) => column)),
    wholePlot: grouping(
      plots.map(({ block, wholePlot }) =>
        wholePlot === undefined ? undefined : JSON.stringify([block, wholePlot]),
      ),
    ),
    control: Math.max(0, treatment.levels.indexOf(nameOf(control))),
  };
}
