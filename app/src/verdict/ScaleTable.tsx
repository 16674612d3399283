import { fixedNumber } from '@fairbed/report';
import type { Outcome } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { RatioTable } from './RatioTable';

/** The scale that plots are compared on where it is not the one they were scored on. */
export function ScaleTable({
  outcome,
  reference,
  markOf,
}: {
  readonly outcome: Outcome;
  readonly reference: string;
  readonly markOf: (treatment: string) => ReactNode;
}) {
  const { scale } = outcome;
  if (!scale || scale.used === 'as scored') return null;
  const rows = (scale.versusControl ?? []).map((row) => ({
    ...row,
    pExact: scale.exact?.versusControl.find(({ name }) => name === row.name)?.pStepDown ?? null,
  }));
  return (
    <>
      <RatioTable
        caption={`${outcome.title}, compared on the scale: ${scale.used}`}
        of={`times ${reference}`}
        rows={rows}
        markOf={markOf}
      />
      <p className="soft small">
        {scale.why}
        {scale.boxCox &&
          ` The power under which plots scatter most evenly is ${fixedNumber(scale.boxCox.power, 2)} (${fixedNumber(scale.boxCox.low, 2)} to ${fixedNumber(scale.boxCox.high, 2)}; 1 is as scored, 0 the logarithm).`}
      </p>
    </>
  );
}
