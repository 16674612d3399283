import type { Problem } from '@fairbed/field';
import { createRemarks } from '../remarks';
import type { Score, Trial } from '../schema';
import { isScoreValue } from './kinds';
import { leftOut, type RecordSource, type Written } from './source';
import { cutScoreThing, readScoreUnit, type ScoreField, type ScoreUnit } from './things';

/** What a score may refer to. */
export type ScoreFrame = {
  /** Rounds by their id; where two were held on one day, both lead to the first. */
  readonly rounds: ReadonlyMap<string, Trial['rounds'][number]>;
  readonly plots: readonly string[];
  readonly diseases: readonly string[];
  readonly grades: readonly number[] | undefined;
  readonly valueNamed: boolean;
};

/** All figures of one plant (or plot) and disease at one round, each with its entry. */
type Cell = {
  readonly place: ScoreUnit;
  readonly figures: Map<ScoreField, Written>;
};

export type FoldedScores = {
  readonly scores: Score[];
  readonly skipped: NonNullable<Trial['skipped']>;
  readonly notes: NonNullable<Trial['notes']>;
  readonly problems: readonly Problem[];
};

const whose = ({ plot, plant, round }: ScoreUnit): string =>
  `plot “${plot}”${plant === undefined ? '' : `, plant “${plant}”`}, round “${round}”`;

type Indexed = ScoreFrame & {
  readonly plotSet: ReadonlySet<string>;
  readonly diseaseSet: ReadonlySet<string>;
};

/** Why no figure of a plant can stand in the document; undefined where it can. */
function unknownPart(place: ScoreUnit, frame: Indexed): string | undefined {
  if (!frame.rounds.has(place.round)) return 'there is no such round';
  if (!frame.plotSet.has(place.plot)) return 'the layout has no such plot';
  return place.disease === undefined || frame.diseaseSet.has(place.disease)
    ? undefined
    : `the plan has no disease “${place.disease}”`;
}

/** Why one figure can't stand there; undefined where it can. */
function badFigure(field: ScoreField, value: unknown, frame: Indexed): string | undefined {
  if (!isScoreValue(field, value)) return `its ${field} can't be read`;
  if (field === 'grade' && frame.grades?.includes(value as number) !== true) {
    return frame.grades === undefined
      ? 'the plan names no grades'
      : `the plan has no grade ${String(value)}`;
  }
  return field === 'value' && !frame.valueNamed
    ? 'the plan does not say what the value measures'
    : undefined;
}

const cellKey = ({ round, plot, plant = '', disease = '' }: ScoreUnit): string =>
  `${round.length}:${round}${plot.length}:${plot}${plant.length}:${plant}${disease}`;

/** The cell a unit belongs to, or why it has none. */
type Home = { readonly cell: Cell } | { readonly cell?: undefined; readonly why: string };

/**
 * Gathers standing figures to cells. Two names of one cell (the target disease named or not, two
 * rounds held on one day) are one; the later of two figures stands there. Each unit is read once,
 * not with each of its figures.
 */
function gatherCells(source: RecordSource, frame: Indexed, report: (problem: Problem) => void) {
  const cells = new Map<string, Cell>();
  const homes = new Map<string, Home>();
  const target = frame.diseases[0];
  const homeOf = (unit: string): Home => {
    const named = readScoreUnit(unit);
    const why = named === undefined ? 'its name can’t be read' : unknownPart(named, frame);
    if (named === undefined || why !== undefined) return { why: why ?? '' };
    const { disease, round, ...rest } = named;
    const place = {
      ...rest,
      round: frame.rounds.get(round)?.id ?? round,
      ...(disease === undefined || disease === target ? {} : { disease }),
    };
    const key = cellKey(place);
    const cell = cells.get(key) ?? { place, figures: new Map<ScoreField, Written>() };
    cells.set(key, cell);
    return { cell };
  };
  for (const [thing, entry] of source.things('score')) {
    const cut = cutScoreThing(thing);
    const unit = cut?.unit ?? thing;
    const home = homes.get(unit) ?? homeOf(unit);
    homes.set(unit, home);
    const bad =
      cut === undefined ? 'its name can’t be read' : badFigure(cut.field, entry.value, frame);
    if (home.cell === undefined || cut === undefined || bad !== undefined) {
      const named = readScoreUnit(unit);
      const of = named === undefined ? `“${thing.slice(0, 60)}”` : whose(named);
      const why = home.cell === undefined ? home.why : (bad ?? '');
      report(leftOut(`A score of ${of} was left out: ${why}.`, 'Mend the plan, or the score.'));
      continue;
    }
    const { figures } = home.cell;
    const before = figures.get(cut.field);
    if (before === undefined || before.clock < entry.clock) figures.set(cut.field, entry);
  }
  return [...cells.values()].filter(({ figures }) => figures.size > 0);
}

const isFigure = (field: ScoreField): boolean => field !== 'note' && field !== 'skipped';
const hasFigures = ({ figures }: Cell): boolean => [...figures.keys()].some(isFigure);

function scoreOf({ place, figures }: Cell): Score {
  const { plot, plant, round, disease } = place;
  const fields: Record<string, unknown> = {};
  let last: Written | undefined;
  for (const [field, entry] of figures) {
    if (field === 'skipped') continue;
    fields[field] = entry.value;
    if (last === undefined || last.clock < entry.clock) last = entry;
  }
  return {
    plot,
    ...(plant === undefined ? {} : { plant }),
    round,
    ...(disease === undefined ? {} : { disease }),
    // Each value went through the rule of its own field.
    ...(fields as Partial<Score>),
    ...(last === undefined || last.who === '' ? {} : { by: last.who.slice(0, 10_000) }),
  };
}

/** Round by round as they were held, plots as they lie, plants by their number. */
function inOrder(cells: readonly Cell[], frame: ScoreFrame): Cell[] {
  const roundAt = new Map([...frame.rounds.values()].map(({ id }, i) => [id, i]));
  const plotAt = new Map(frame.plots.map((id, i) => [id, i]));
  const diseaseAt = new Map(frame.diseases.map((id, i) => [id, i]));
  const plants = [...new Set(cells.map(({ place }) => place.plant ?? ''))].sort(byNumber);
  const plantAt = new Map(plants.map((id, i) => [id, i]));
  const rankOf = ({ place: { round, plot, plant = '', disease } }: Cell): number => {
    const unit = (roundAt.get(round) ?? 0) * frame.plots.length + (plotAt.get(plot) ?? 0);
    const sick = disease === undefined ? 0 : (diseaseAt.get(disease) ?? 0);
    return (unit * plants.length + (plantAt.get(plant) ?? 0)) * (frame.diseases.length + 1) + sick;
  };
  return cells
    .map((cell) => ({ cell, rank: rankOf(cell) }))
    .sort((a, b) => a.rank - b.rank)
    .map(({ cell }) => cell);
}

/** Ids that are whole numbers by size, before all others, which go by their signs. */
export function byNumber(a: string, b: string): number {
  const [n, m] = [a, b].map((id) => (/^\d{1,15}$/.test(id) ? Number(id) : Infinity));
  if (n !== m && n !== undefined && m !== undefined) return n < m ? -1 : 1;
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Cells of whole plots that were scored plant by plant too: their leaves would count twice. */
function countedTwice(cells: readonly Cell[]): ReadonlySet<Cell> {
  const key = ({ place }: Cell): string => cellKey({ ...place, plant: '' });
  const byPlant = new Set(
    cells.filter((c) => c.place.plant !== undefined && hasFigures(c)).map(key),
  );
  return new Set(
    cells.filter((c) => c.place.plant === undefined && hasFigures(c) && byPlant.has(key(c))),
  );
}

type NoteRow = NonNullable<Trial['notes']>[number];

/** A note without a figure is a note of the trial, so that it does not count as a score. */
function noteOf({ place, figures }: Cell, day: NoteRow['day'] | undefined): NoteRow[] {
  const text = figures.get('note')?.value;
  if (typeof text !== 'string' || day === undefined) return [];
  const { plot, plant, round, disease } = place;
  const parts = [round, plot, plant ?? '', disease ?? ''].map((part) => part.slice(0, 45));
  return [
    {
      id: `score ${parts.join('/')}`,
      text,
      plot,
      ...(plant === undefined ? {} : { plant }),
      round,
      day,
    },
  ];
}

/**
 * The scores of a trial from its standing figures, one row a plant (or plot), round and disease.
 * What refers to nothing is left out and reported, as is a plot's score in whole beside scores of
 * its plants. Where a plant was both skipped and scored, its figures stand.
 */
export function foldScores(source: RecordSource, frame: ScoreFrame): FoldedScores {
  const remarks = createRemarks();
  const indexed: Indexed = {
    ...frame,
    plotSet: new Set(frame.plots),
    diseaseSet: new Set(frame.diseases),
  };
  const cells = inOrder(gatherCells(source, indexed, remarks.add), frame);
  const twice = countedTwice(cells);
  const folded = {
    scores: [] as Score[],
    skipped: [] as FoldedScores['skipped'],
    notes: [] as NoteRow[],
  };
  const skips = new Set<string>();
  for (const cell of cells) {
    const { place, figures } = cell;
    if (hasFigures(cell) && !twice.has(cell)) {
      folded.scores.push(scoreOf(cell));
      continue;
    }
    if (twice.has(cell)) {
      remarks.add(
        leftOut(
          `A score of ${whose(place)} in whole was left out: its plants were scored too.`,
          'Take back the one or the others.',
        ),
      );
    }
    const day = frame.rounds.get(place.round)?.day;
    folded.notes.push(...noteOf(cell, day));
    const why = figures.get('skipped')?.value;
    const { plot, plant, round } = place;
    const unit: ScoreUnit = { plot, ...(plant === undefined ? {} : { plant }), round };
    const key = cellKey(unit);
    if (typeof why === 'string' && !skips.has(key)) {
      skips.add(key);
      folded.skipped.push({ ...unit, why });
    }
  }
  return { ...folded, problems: remarks.list() };
}
