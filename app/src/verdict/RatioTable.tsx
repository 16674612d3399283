import type { Ordinal } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { noValue, pText, ratioText } from './numbers';
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
  const byLayout = rows.some(({ pExact }) => pExact !== null);
  const head = [
    'Treatment',
    of,
    '95 % interval',
    byLayout ? 'p, model' : 'p',
    ...(byLayout ? ['p, layout'] : []),
  ];
  return (
    <Table caption={caption} head={head}>
      {rows.map((row) => (
        <TreatmentRow key={row.name} name={row.name} mark={markOf(row.name)}>
          <td>{row.ratio === null ? noValue : ratioText(row.ratio)}</td>
          <td>
            {row.low === null || row.high === null
              ? noValue
              : `${ratioText(row.low)} to ${ratioText(row.high)}`}
          </td>
          <td>{pText(row.p)}</td>
          {byLayout && <td>{pText(row.pExact)}</td>}
        </TreatmentRow>
      ))}
    </Table>
  );
}
