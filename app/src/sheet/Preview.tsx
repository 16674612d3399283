import type { Mapping } from '@fairbed/files';
import type { SheetView } from '../work/sheetView';
import { Table } from '../verdict/Table';
import { type ColumnChoice, choiceOf, roles, roleWords, wideOffer } from './roles';

export type PreviewProps = {
  readonly view: SheetView;
  readonly mapping: Mapping;
  readonly onChoose: (column: string, choice: ColumnChoice) => void;
};

function RoleSelect({
  column,
  choice,
  wide,
  onChoose,
}: {
  readonly column: string;
  readonly choice: ColumnChoice;
  readonly wide: string | undefined;
  readonly onChoose: (choice: ColumnChoice) => void;
}) {
  return (
    <select
      aria-label={`What column ${column} holds`}
      value={choice}
      data-left-out={choice === 'ignore' || undefined}
      onChange={(event) => onChoose(event.target.value as ColumnChoice)}
    >
      {wide !== undefined && <option value="wide">{wide}</option>}
      {roles.map((role) => (
        <option key={role} value={role}>
          {roleWords[role]}
        </option>
      ))}
    </select>
  );
}

/** The first rows of the sheet, with what each column is taken for above it. */
export function Preview({ view, mapping, onChoose }: PreviewProps) {
  const head = [
    'Row',
    ...view.columns.map((column) => (
      <span className="column-head" key={column}>
        <span className="column-name">{column}</span>
        <RoleSelect
          column={column}
          choice={choiceOf(mapping, column)}
          wide={wideOffer(view.guess, mapping, column)}
          onChoose={(choice) => onChoose(column, choice)}
        />
      </span>
    )),
  ];
  return (
    <div className="preview">
      <Table caption={`The first rows of ${view.file}`} head={head}>
        {view.firstRows.map((row) => (
          <tr key={row.number}>
            <th scope="row" className="plain soft">
              {row.number}
            </th>
            {row.cells.map((cell, i) => (
              <td key={i} className="cell">
                {cell}
              </td>
            ))}
          </tr>
        ))}
      </Table>
    </div>
  );
}
