import { ResidualsChart, type TreatmentStyles } from '@fairbed/report';
import type { Outcome } from '@fairbed/verdict';
import { useState } from 'react';
import { useWidth } from '../useWidth';
import { useLit } from './lit';
import { noValue, tableFormat } from './numbers';
import { PlotRow, Table } from './Table';

type Shown = NonNullable<Outcome['residuals']>;

function ResidualsTable({ outcome, residuals }: { outcome: Outcome; residuals: Shown }) {
  const { treatmentOf } = useLit();
  const format = tableFormat(residuals.flatMap(({ fitted, residual }) => [fitted, residual]));
  const one = (value: number | null): string => (value === null ? noValue : value.toFixed(2));
  return (
    <Table
      caption={`${outcome.title}: what the model expects and leaves over`}
      head={['Plot', 'Expected', 'Left over', 'In standard errors', 'By chance alone']}
    >
      {residuals.map((row) => (
        <PlotRow key={row.plot} plot={row.plot} treatment={treatmentOf.get(row.plot) ?? ''}>
          <td>{format(row.fitted)}</td>
          <td>{format(row.residual)}</td>
          <td>{one(row.studentised).replace('-', '\u2212')}</td>
          <td>{one(row.normalScore).replace('-', '\u2212')}</td>
        </PlotRow>
      ))}
    </Table>
  );
}

/** What the model leaves over of each plot, folded away: drawn when it is wanted. */
export function Residuals({
  outcome,
  styles,
}: {
  readonly outcome: Outcome;
  readonly styles: TreatmentStyles;
}) {
  const { lit, pick, treatmentOf } = useLit();
  const [ref, width] = useWidth<HTMLDivElement>();
  const [isOpen, setOpen] = useState(false);
  const residuals = outcome.baselineAdjusted?.residuals ?? outcome.residuals ?? [];
  if (residuals.length === 0) return null;
  return (
    <details
      className="how"
      onToggle={(event) => {
        if (event.currentTarget.open) setOpen(true);
      }}
    >
      <summary>What the model leaves over</summary>
      <div className="stack">
        <p>
          A funnel on the first picture means that the scale is wrong. On the second, plots along
          the dashes mean that the intervals can be trusted; a plot far off deserves a second look.
        </p>
        <div ref={ref} className="chart-frame" data-testid="residuals">
          {isOpen && width > 0 && (
            <ResidualsChart {...{ residuals, treatmentOf, styles, lit, width }} onPick={pick} />
          )}
        </div>
        <ResidualsTable {...{ outcome, residuals }} />
      </div>
    </details>
  );
}
