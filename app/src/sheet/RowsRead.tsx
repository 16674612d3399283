import { counted, groupedText } from '../verdict/numbers';
import type { Tried } from '../work/sheetView';
import { ProblemTable } from './ProblemTable';
import { sorted } from './problemList';

/** Up to so many entries are shown without being asked for. */
const shownOpen = 4;

/** How many rows were read, used and set aside, and why each was. */
export function RowsRead({ tried, file }: { readonly tried: Tried; readonly file: string }) {
  const { rows, plots, rounds, unbalanced } = tried;
  const { faults, notes } = sorted(tried.problems);
  const cells = rows.cells_set_aside ?? 0;
  return (
    <section aria-labelledby="rows" className="part">
      <h2 id="rows">Which rows can be used?</h2>
      <p className="row-count" data-testid="row-count">
        <strong>{counted(rows.read, 'row')}</strong> read,{' '}
        <strong>{groupedText(String(rows.used))}</strong> used,{' '}
        <strong>{groupedText(String(rows.set_aside))}</strong> set aside
        {cells > 0 && <>, and {counted(cells, 'single cell')} of used rows set aside</>}.
      </p>
      <p className="soft">
        They make {counted(plots, 'plot')} and {counted(rounds, 'round')}.
      </p>
      {faults.length > 0 && (
        <ProblemTable caption="Set aside, and why" problems={faults} fileName={file} />
      )}
      {unbalanced.length > 0 && (
        <details open={unbalanced.length <= shownOpen}>
          <summary>Leaves that do not add up ({unbalanced.length})</summary>
          <ProblemTable
            caption="Used as written, but the leaves do not add up"
            problems={unbalanced}
            fileName={file}
          />
        </details>
      )}
      {notes.length > 0 && (
        <details>
          <summary>Worth a look ({notes.length})</summary>
          <ProblemTable caption="Used, and worth a look" problems={notes} fileName={file} />
        </details>
      )}
    </section>
  );
}
