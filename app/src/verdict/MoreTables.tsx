import { fixedNumber, signed, unitWords } from '@fairbed/report';
import type { Judgement, Outcome } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { noValue, tableFormat } from './numbers';
import { PlotRow, Table, TreatmentRow } from './Table';

type MarkOf = (treatment: string) => ReactNode;

const one = (value: number | null): string => (value === null ? noValue : fixedNumber(value, 1));

/** What became of the leaves, per plant, by treatment. */
export function LeafBalanceTable({
  rows,
  markOf,
}: {
  readonly rows: NonNullable<Judgement['leafBalance']>;
  readonly markOf: MarkOf;
}) {
  const head = [
    'Treatment',
    'New leaves',
    'Stripped',
    'Lost otherwise',
    'Diseased, stripped ones included',
    'Healthy leaf-days',
  ];
  return (
    <Table caption="Leaf balance over the whole trial, leaves per plant" head={head}>
      {rows.map((row) => (
        <TreatmentRow key={row.treatment} name={row.treatment} mark={markOf(row.treatment)}>
          <td>{one(row.newLeaves)}</td>
          <td>{one(row.strippedLeaves)}</td>
          <td>{one(row.lostLeaves)}</td>
          <td>{one(row.cumulativeDiseased)}</td>
          <td>{one(row.healthyLeafDays)}</td>
        </TreatmentRow>
      ))}
    </Table>
  );
}

/** The value of every plot. */
export function PlotsTable({
  outcome,
  markOf,
}: {
  readonly outcome: Outcome;
  readonly markOf: MarkOf;
}) {
  const format = tableFormat(outcome.plots.flatMap(({ value }) => (value === null ? [] : [value])));
  const blocks = outcome.plots.some(({ block }) => block !== null);
  const unit = unitWords(outcome.unit);
  const words = (
    <span key="treatment" className="over-words">
      Treatment
    </span>
  );
  const head = ['Plot', words, ...(blocks ? ['Block'] : []), unit === '' ? 'Value' : unit];
  return (
    <Table caption={`${outcome.title}, every plot`} head={head}>
      {outcome.plots.map((row) => (
        <PlotRow key={row.plot} plot={row.plot} treatment={row.treatment}>
          <td className="words">
            <span className="named">
              {markOf(row.treatment)}
              {row.treatment}
            </span>
          </td>
          {blocks && <td>{row.block ?? noValue}</td>}
          <td>{row.value === null ? 'no value' : format(row.value)}</td>
        </PlotRow>
      ))}
    </Table>
  );
}

/** Where no treatment was repeated: how unlike two like plots would have to be. */
export function TippingTable({
  outcome,
  reference,
  markOf,
}: {
  readonly outcome: Outcome;
  readonly reference: string;
  readonly markOf: MarkOf;
}) {
  const rows = outcome.tippingPoint;
  if (!rows || rows.length === 0) return null;
  const format = tableFormat(rows.flatMap((row) => [row.difference, row.plotSd]));
  const head = [
    'Treatment',
    `Difference from ${reference}`,
    'Ordinary spread between like plots that would explain it away',
    `the same, % of ${reference}`,
  ];
  return (
    <Table caption="How unlike would two like plots have to be?" head={head}>
      {rows.map((row) => (
        <TreatmentRow key={row.name} name={row.name} mark={markOf(row.name)}>
          <td>{signed(row.difference, format)}</td>
          <td>{format(row.plotSd)}</td>
          <td>
            {row.plotSdPercentOfControl === null
              ? noValue
              : fixedNumber(row.plotSdPercentOfControl, 0)}
          </td>
        </TreatmentRow>
      ))}
    </Table>
  );
}
