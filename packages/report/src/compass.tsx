import type { ReactElement } from 'react';
import { scaleBar } from './bed-drawn';
import { round, TextLines, type } from './frame';
import { textWidth } from './text';
import { tone } from './theme';

/** Scale bar and north arrow. */
export function Compass(props: {
  readonly y: number;
  readonly perMetre: number;
  readonly turned: boolean;
}): ReactElement {
  const { y, perMetre, turned } = props;
  const bar = scaleBar(perMetre);
  const end = round(10 + bar.pixels);
  const x = end + 16 + textWidth(`${bar.metres} m`, type.tick) + 30;
  return (
    <g aria-hidden="true">
      <path
        d={`M10 ${y - 5}v10M10 ${y}H${end}M${end} ${y - 5}v10`}
        stroke={tone('ink')}
        strokeWidth={2}
      />
      <TextLines lines={[`${bar.metres}\u00a0m`]} x={end + 8} y={y} size={type.tick} />
      <path
        d="M0 10V-10M-5-3L0-11L5-3"
        transform={`translate(${round(x)} ${y})${turned ? ' rotate(90)' : ''}`}
        stroke={tone('ink')}
        strokeWidth={2}
        fill="none"
      />
      <TextLines lines={['north']} x={x + 18} y={y} size={type.tick} />
    </g>
  );
}
