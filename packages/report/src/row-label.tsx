import type { ReactElement } from 'react';
import { TextLines } from './frame';
import type { TreatmentStyle } from './marks';
import { type ChartRow, rowText } from './row-layout';
import { TreatmentMark } from './treatment-mark';

/** Mark, name and figure of a row. */
export function RowLabel(props: {
  readonly row: ChartRow;
  readonly treatment: TreatmentStyle;
  readonly width: number;
  readonly bold: boolean;
}): ReactElement {
  const { row, treatment, width, bold } = props;
  const below = row.figureY > row.nameY && row.stripY > row.figureY;
  return (
    <>
      <TreatmentMark treatment={treatment} x={rowText.markX} y={row.nameY} size={14} />
      <TextLines lines={row.nameLines} x={rowText.nameX} y={row.nameY} bold={bold} />
      <TextLines
        lines={row.figureLines}
        x={below ? rowText.nameX : width - rowText.edge}
        y={row.figureY}
        anchor={below ? 'start' : 'end'}
        soft
      />
    </>
  );
}
