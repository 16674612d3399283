import type { Score, Trial } from '@fairbed/trial';
import { treatmentNames } from './table';

type Coded = { readonly name: string; readonly codes: Int32Array; readonly levels: string[] };

/** Scores of one round as columns: what the models of counts and grades are fitted to. */
export type ScoreRows = {
  readonly scores: readonly Score[];
  readonly treatment: Coded;
  /** Block, plot and plant, as far as they group more than one row each or tell rows apart. */
  readonly groups: readonly Coded[];
};

/** Place of each key in order of first appearance. */
function coded(name: string, keys: readonly string[], levels: readonly string[] = []): Coded {
  const places = new Map(levels.map((level, i) => [level, i]));
  const codes = Int32Array.from(keys, (key) => {
    const known = places.get(key);
    if (known !== undefined) return known;
    places.set(key, places.size);
    return places.size - 1;
  });
  return { name, codes, levels: [...places.keys()] };
}

/**
 * The target disease's scores of one round that have what `usable` asks for, with their treatment
 * and the groupings they are nested in. A grouping with one level is left out; so is `plot` where
 * each plot is one row (then plot and row are one), unless `keepRows` (counts: a row of many
 * leaves can tell plot-to-plot spread from chance).
 */
export function scoreRows(
  trial: Trial,
  round: string,
  usable: (score: Score) => boolean,
  keepRows: boolean,
): ScoreRows {
  const target = trial.diseases[0]?.id;
  const names = treatmentNames(trial);
  const plots = new Map(trial.plots.map((plot) => [plot.id, plot]));
  const guards = new Set(
    trial.plants.filter(({ guard }) => guard === true).map(({ plot, id }) => `${plot}\u001f${id}`),
  );
  const scores = trial.scores.filter(
    (score) =>
      score.round === round &&
      (score.disease === undefined || score.disease === target) &&
      (score.plant === undefined || !guards.has(`${score.plot}\u001f${score.plant}`)) &&
      usable(score),
  );
  const plotOf = (score: Score): string => score.plot;
  const treatment = coded(
    'treatment',
    scores.map((score) => names.get(plots.get(score.plot)?.treatment ?? '') ?? ''),
    [...names.values()],
  );
  const groups: Coded[] = [];
  for (const name of trial.design.kind === 'latin-square'
    ? (['row', 'column'] as const)
    : (['block'] as const)) {
    const keys = scores.map((score) => plots.get(score.plot)?.[name]);
    if (keys.every((key) => key !== undefined)) groups.push(coded(name, keys));
  }
  groups.push(coded('plot', scores.map(plotOf)));
  if (scores.every(({ plant }) => plant !== undefined)) {
    groups.push(
      coded(
        'plant',
        scores.map(({ plot, plant }) => `${plot}\u001f${plant ?? ''}`),
      ),
    );
  }
  return {
    scores,
    treatment,
    groups: groups.filter(
      ({ name, levels }, i) =>
        levels.length > 1 &&
        (keepRows || levels.length < scores.length) &&
        // Nested in the one before with as many levels, it is that one under another name. (Rows and
        // columns of a square cross.)
        (name === 'column' || levels.length !== groups[i - 1]?.levels.length),
    ),
  };
}
