import type { Ordinal } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { noValue, pText, tableFormat } from './numbers';
import { Table, TreatmentRow } from './Table';

type RatioToControl = NonNullable<Ordinal['versusControl']>[number];

/** Treatments as multiples of the control, all intervals and p holding together. */
export function RatioTable({
  caption,
  of,
  rows,
  markOf,
}: {
  readonly caption: string;
  /** What is so many times the control's: odds, chance. */
  readonly of: string;
  readonly rows: readonly RatioToControl[];
  readonly markOf: (treatment: string) => ReactNode;
}) {
  const format = tableFormat([1, ...rows.flatMap(({ ratio }) => (ratio === null ? [] : [ratio]))]);
  const head = ['Treatment', of, '95 % interval', 'p, model', 'p, layout'];
  return (
    <Table caption={caption} head={head}>
      {rows.map((row) => (
        <TreatmentRow key={row.name} name={row.name} mark={markOf(row.name)}>
          <td>{row.ratio === null ? noValue : format(row.ratio)}</td>
          <td>
            {row.low === null || row.high === null
              ? noValue
              : `${format(row.low)} to ${format(row.high)}`}
          </td>
          <td>{pText(row.p)}</td>
          <td>{pText(row.pExact)}</td>
        </TreatmentRow>
      ))}
    </Table>
  );
}
