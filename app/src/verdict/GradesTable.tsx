import { fixedNumber } from '@fairbed/report';
import type { Ordinal } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { noValue, pSaid } from './numbers';
import { RatioTable } from './RatioTable';
import { Table, TreatmentRow } from './Table';

type MarkOf = (treatment: string) => ReactNode;

const percent = (value: number | null): string =>
  value === null ? noValue : fixedNumber(100 * value, 0);

/** Which grades a typical plot of each treatment has, and the odds of a worse one. */
export function GradesTable({
  ordinal,
  reference,
  markOf,
}: {
  readonly ordinal: Ordinal;
  readonly reference: string;
  readonly markOf: MarkOf;
}) {
  const { treatments = [], versusControl = [], exact, joint, decidedBy } = ordinal;
  const grades = treatments[0]?.shares.map(({ grade }) => grade) ?? [];
  return (
    <>
      {treatments.length > 0 && (
        <Table
          caption="Share of each grade in a typical plot, % of plants"
          head={['Treatment', 'Mean grade', ...grades.map((grade) => `grade ${grade}`)]}
        >
          {treatments.map((row) => (
            <TreatmentRow key={row.name} name={row.name} mark={markOf(row.name)}>
              <td>{fixedNumber(row.meanGrade, 2)}</td>
              {row.shares.map(({ grade, share, low, high }) => (
                <td key={grade}>
                  {percent(share)}
                  <span className="under">
                    {percent(low)} to {percent(high)}
                  </span>
                </td>
              ))}
            </TreatmentRow>
          ))}
        </Table>
      )}
      {versusControl.length > 0 && (
        <RatioTable
          caption={`Odds of a worse grade, times those of ${reference}`}
          of="odds ratio"
          rows={versusControl}
          markOf={markOf}
        />
      )}
      {(exact ?? joint) && (
        <p className="soft small">
          Treatments together:
          {exact && ` by ranks within blocks over the layouts, ${pSaid(exact.p)}.`}
          {joint && ` By the model, F = ${fixedNumber(joint.f, 2)}, ${pSaid(joint.p)}.`}
          {decidedBy &&
            ` ${decidedBy === 'layout' ? 'The layouts decide.' : 'The model decides: this layout can’t go below 0.05.'}`}
        </p>
      )}
    </>
  );
}
