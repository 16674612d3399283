import type { Entry } from '@fairbed/notebook';
import { readScoreThing, type ScoreField, scoreFields } from '@fairbed/trial';
import { useMemo, useState } from 'react';
import type { OpenBook } from '../book/liveBook';
import { bedHref, historyHref, photosHref } from '../route';
import { longDay } from '../plan/today';
import { counted } from '../verdict/numbers';
import { EntryList } from './EntryList';
import { figureNames, type Known, valueOf } from './entryWords';

type PlotProps = { readonly open: OpenBook; readonly known: Known; readonly plot: string };

/** A figure that stands, or stood until it was taken back, and how often it was written. */
type Cell = { readonly thing: string; readonly last: Entry; readonly times: number };
type Row = { readonly plant: string; readonly cells: ReadonlyMap<string, Cell> };
type RoundTable = {
  readonly round: string;
  readonly columns: readonly string[];
  readonly rows: readonly Row[];
};

const columnOf = (field: ScoreField, disease: string | undefined): string =>
  disease === undefined ? field : `${field} ${disease}`;

const natural = new Intl.Collator('en', { numeric: true }).compare;

/** Figures of a plot by round and plant, the latest round first. */
export function roundTables(
  entries: readonly Entry[],
  roundDay: Known['roundDay'],
): readonly RoundTable[] {
  const rounds = new Map<string, Map<string, Map<string, Cell>>>();
  for (const entry of entries) {
    const place = readScoreThing(entry.thing);
    if (place === undefined) continue;
    const plants = rounds.get(place.round) ?? new Map<string, Map<string, Cell>>();
    rounds.set(place.round, plants);
    const cells = plants.get(place.plant ?? '') ?? new Map<string, Cell>();
    plants.set(place.plant ?? '', cells);
    const column = columnOf(place.field, place.disease);
    const times = (cells.get(column)?.times ?? 0) + 1;
    cells.set(column, { thing: entry.thing, last: entry, times });
  }
  const order = new Map<string, number>(scoreFields.map((field, i) => [field, i]));
  const rank = (column: string): number => order.get(column.split(' ')[0] ?? '') ?? 0;
  return [...rounds]
    .map(([round, plants]) => ({
      round,
      columns: [...new Set([...plants.values()].flatMap((cells) => [...cells.keys()]))].sort(
        (a, b) => rank(a) - rank(b) || natural(a, b),
      ),
      rows: [...plants]
        .map(([plant, cells]) => ({ plant, cells }))
        .sort((a, b) => natural(a.plant, b.plant)),
    }))
    .sort((a, b) => natural(roundDay(b.round) ?? b.round, roundDay(a.round) ?? a.round));
}

function useEntries({ open, known, plot }: PlotProps): readonly Entry[] {
  // `known` is made anew whenever an entry comes.
  return useMemo(() => {
    const plants = known.trial.plants.filter((plant) => plant.plot === plot).map(({ id }) => id);
    const scores = ['', ...plants].flatMap((plant) => open.plantHistory(plot, plant));
    return [...scores, ...open.book.history('lost-plot', plot)].sort((a, b) =>
      a.clock < b.clock ? -1 : a.clock > b.clock ? 1 : 0,
    );
  }, [open, known, plot]);
}

function Table({ open, known, table }: Omit<PlotProps, 'plot'> & { readonly table: RoundTable }) {
  const { round, columns, rows } = table;
  const day = known.roundDay(round);
  const title = (column: string): string => {
    const [field = '', ...disease] = column.split(' ');
    const name = figureNames[field as ScoreField];
    const id = disease.join(' ');
    if (id === '') return name;
    return `${name} (${known.trial.diseases.find((one) => one.id === id)?.name ?? id})`;
  };
  return (
    <div className="table-frame">
      <table>
        <caption>Round {day === undefined ? round : `of ${longDay(day)}`}</caption>
        <thead>
          <tr>
            <th scope="col">Plant</th>
            {columns.map((column) => (
              <th key={column} scope="col">
                {title(column)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ plant, cells }) => (
            <tr key={plant}>
              <th scope="row" className="plain">
                {plant === '' ? 'Whole plot' : plant}
              </th>
              {columns.map((column) => {
                const cell = cells.get(column);
                return (
                  <td key={column}>
                    {cell && (
                      <a
                        className="history-figure"
                        href={historyHref(open.id, 'score', cell.thing)}
                        aria-label={`${title(column)}, ${plant === '' ? 'whole plot' : `plant ${plant}`}: ${valueOf('score', cell.thing, cell.last.value, known)}${cell.times > 1 ? `, entered ${cell.times} times` : ''}`}
                      >
                        {valueOf('score', cell.thing, cell.last.value, known)}
                        {cell.times > 1 && <span className="soft small"> ×{cell.times}</span>}
                      </a>
                    )}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** Rounds that stand there at once; a season has many. */
const firstShown = 2;

/** All figures of one plot by round and plant, then every entry about it. */
export function PlotHistory({ open, known, plot }: PlotProps) {
  const entries = useEntries({ open, known, plot });
  const tables = useMemo(() => roundTables(entries, known.roundDay), [entries, known]);
  const [shown, setShown] = useState(firstShown);
  const name = known.names.plot(plot);
  return (
    <>
      <p className="lead">
        Plot {name?.code ?? plot}
        {name?.treatment !== undefined && `: ${name.treatment.name}`}
      </p>
      <div className="buttons">
        <a className="button quiet" href={photosHref(open.id, plot)}>
          Its photos
        </a>
        <a className="button quiet" href={bedHref(open.id)}>
          Back to the bed
        </a>
      </div>
      {tables.length === 0 ? (
        <p className="soft">Nothing of this plot is scored yet.</p>
      ) : (
        <p className="soft small">Pick a figure to see what it was before, or to correct it.</p>
      )}
      {tables.slice(0, shown).map((table) => (
        <Table key={table.round} {...{ open, known, table }} />
      ))}
      {tables.length > shown && (
        <button type="button" className="button quiet" onClick={() => setShown(tables.length)}>
          Show the {counted(tables.length - shown, 'round')} before
        </button>
      )}
      <section aria-labelledby="plot-entries" className="history-part">
        <h2 id="plot-entries">Every entry about this plot</h2>
        <EntryList id={open.id} label="Entries, latest first" {...{ entries, known }} />
      </section>
    </>
  );
}
