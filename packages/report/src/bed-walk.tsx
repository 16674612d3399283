import type { ReactElement } from 'react';
import type { PlacedPlot } from './bed-drawn';
import { round, TextLines, type } from './frame';
import { tone } from './theme';

export const discRadius = 10;

/** The way from plot to plot, by their middles. Drawn under what stands in the plots. */
export function WalkLine(props: {
  readonly plots: readonly PlacedPlot[];
  readonly walk: readonly string[];
}): ReactElement | null {
  const { plots, walk } = props;
  const boxes = new Map(plots.map(({ plot, box }) => [plot.id, box]));
  const points = walk.flatMap((id) => {
    const box = boxes.get(id);
    return box ? [`${round(box.x + box.width / 2)} ${round(box.y + box.height / 2)}`] : [];
  });
  if (points.length < 2) return null;
  const d = `M${points.join('L')}`;
  return (
    <g fill="none" strokeLinejoin="round" aria-hidden="true">
      <path d={d} stroke={tone('plot')} strokeWidth={6} />
      <path d={d} stroke={tone('line')} strokeWidth={4} />
    </g>
  );
}

/** The number of a plot in the walk, on a disc that stands apart from its code. */
export function StopDisc(props: {
  readonly x: number;
  readonly y: number;
  readonly stop: number;
}): ReactElement {
  const { x, y, stop } = props;
  return (
    <>
      <circle cx={round(x)} cy={round(y)} r={discRadius} fill={tone('ink')} />
      <text
        x={round(x)}
        y={round(y + type.tick * 0.35)}
        fontSize={type.tick}
        fontWeight={600}
        textAnchor="middle"
        fill={tone('paper')}
        style={{ fontVariantNumeric: 'tabular-nums' }}
      >
        {stop}
      </text>
    </>
  );
}

/** Code of the plot beside its number in the walk. */
export function PlotCode(props: {
  readonly code: string;
  readonly x: number;
  readonly y: number;
}): ReactElement {
  return (
    <TextLines
      lines={[props.code]}
      x={round(props.x)}
      y={round(props.y)}
      size={type.tick}
      anchor="middle"
      bold
    />
  );
}
