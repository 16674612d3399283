import { intervalText, type NumberFormat, signed, unitWords } from '@fairbed/report';
import type { Outcome } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { noValue, pText, tableFormat } from './numbers';
import { Table, TreatmentRow } from './Table';

type Span = { readonly low: number | null; readonly high: number | null };

/** A figure over its interval, in one cell. */
function Figure({
  value,
  span,
  format,
}: {
  value: string;
  span: Span | undefined;
  format: NumberFormat;
}) {
  const interval = span && intervalText(span.low, span.high, format);
  return (
    <td>
      {value}
      {interval !== undefined && <span className="under">{interval}</span>}
    </td>
  );
}

const valuesOf = (outcome: Outcome): number[] =>
  [...outcome.treatments, ...(outcome.versusControl ?? [])]
    .flatMap((row) => [row.low, row.high, 'mean' in row ? row.mean : row.difference])
    .filter((value) => value !== null);

const percentText = (value: number): string => `${Math.round(value)}`.replace('-', '\u2212');

const Over = ({
  first,
  under = '95 % interval',
}: {
  readonly first: string;
  readonly under?: string;
}) => (
  <>
    {first}
    <span className="under">{under}</span>
  </>
);

function headOf(outcome: Outcome, reference: string): ReactNode[] {
  const unit = unitWords(outcome.unit);
  return [
    'Treatment',
    'Plots',
    <Over key="mean" first={`Mean${unit === '' ? '' : `, ${unit}`}`} />,
    ...(outcome.versusControl
      ? [<Over key="difference" first={`Less or more than ${reference}`} />, 'p, Dunnett']
      : []),
    ...(outcome.exact
      ? [<Over key="exact" first="p, exact, all comparisons" under="alone" />]
      : []),
    ...(outcome.efficacy ? [<Over key="efficacy" first="Efficacy, %" />] : []),
    ...(outcome.letters ? ['Letters'] : []),
  ];
}

function Comparison({
  outcome,
  name,
  reference,
}: {
  readonly outcome: Outcome;
  readonly name: string;
  readonly reference: string;
}) {
  const format = tableFormat(valuesOf(outcome));
  const compared = outcome.versusControl?.find((row) => row.name === name);
  if (!outcome.versusControl) return null;
  if (!compared) {
    return (
      <td className="words soft" colSpan={2}>
        {reference === name ? 'compared with this' : reference}
      </td>
    );
  }
  const { difference } = compared;
  return (
    <>
      <Figure
        value={difference === null ? noValue : signed(difference, format)}
        span={compared}
        format={format}
      />
      <td>{pText(compared.p)}</td>
    </>
  );
}

function Exact({ outcome, name }: { readonly outcome: Outcome; readonly name: string }) {
  const exact = outcome.exact?.versusControl.find((row) => row.name === name);
  if (!outcome.exact) return null;
  return (
    <td>
      {pText(exact?.pStepDown)}
      {exact && <span className="under">{pText(exact.p)}</span>}
    </td>
  );
}

function EfficacyCells({ outcome, name }: { readonly outcome: Outcome; readonly name: string }) {
  const row = outcome.efficacy?.find((entry) => entry.name === name);
  if (!outcome.efficacy) return null;
  return (
    <Figure
      value={row === undefined || row.percent === null ? noValue : percentText(row.percent)}
      span={row}
      format={percentText}
    />
  );
}

/** Every treatment's figures: mean, difference from the control, how likely by chance. */
export function TreatmentsTable({
  outcome,
  reference,
  markOf,
}: {
  readonly outcome: Outcome;
  /** What the others are compared with: `the control`, or the name of another treatment. */
  readonly reference: string;
  readonly markOf: (treatment: string) => ReactNode;
}) {
  const format = tableFormat(valuesOf(outcome));
  return (
    <Table caption={`${outcome.title}, by treatment`} head={headOf(outcome, reference)}>
      {outcome.treatments.map((row) => (
        <TreatmentRow key={row.name} name={row.name} mark={markOf(row.name)}>
          <td>{row.plots}</td>
          <Figure
            value={row.mean === null ? noValue : format(row.mean)}
            span={row}
            format={format}
          />
          <Comparison outcome={outcome} name={row.name} reference={reference} />
          <Exact outcome={outcome} name={row.name} />
          <EfficacyCells outcome={outcome} name={row.name} />
          {outcome.letters && <td>{outcome.letters[row.name] ?? noValue}</td>}
        </TreatmentRow>
      ))}
    </Table>
  );
}
