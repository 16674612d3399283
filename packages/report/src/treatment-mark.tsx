import type { ReactElement } from 'react';
import type { Shape, TreatmentStyle } from './marks';
import { tone } from './theme';

export type TreatmentMarkProps = {
  readonly treatment: TreatmentStyle;
  /** Centre and diameter in pixels of the drawing around it. */
  readonly x?: number;
  readonly y?: number;
  readonly size?: number;
};

/** Outlines in a box from -1 to 1. */
const outlines: Readonly<Record<Exclude<Shape, 'circle' | 'ring' | 'open' | 'half'>, string>> = {
  square: 'M-.84-.84H.84V.84H-.84Z',
  triangle: 'M0-1 L1 .8 H-1 Z',
  diamond: 'M0-1.1 L1.1 0 0 1.1 -1.1 0Z',
  cross: 'M-.36-1H.36V-.36H1V.36H.36V1H-.36V.36H-1V-.36H-.36Z',
  bar: 'M-1.1-.45H1.1V.45H-1.1Z',
};

function Body({ treatment, edge }: { treatment: TreatmentStyle; edge: number }): ReactElement {
  const outline = { stroke: tone('ink'), strokeWidth: edge, strokeLinejoin: 'round' } as const;
  const { shape, colour } = treatment;
  if (shape === 'circle') return <circle r={0.92} fill={colour} {...outline} />;
  if (shape === 'open')
    return <circle r={0.8} fill={tone('paper')} stroke={colour} strokeWidth={0.36} />;
  if (shape === 'ring') {
    return (
      <>
        <circle r={0.92} fill={colour} {...outline} />
        <circle r={0.36} fill={tone('paper')} {...outline} />
      </>
    );
  }
  if (shape === 'half') {
    return (
      <>
        <circle r={0.92} fill={tone('paper')} {...outline} />
        <path d="M0-.92A.92.92 0 0 0 0 .92Z" fill={colour} {...outline} />
      </>
    );
  }
  return <path d={outlines[shape]} fill={colour} {...outline} />;
}

/** A treatment's mark, for use inside a drawing. Says nothing to a screen reader: name it beside. */
export function TreatmentMark({ treatment, x = 0, y = 0, size = 14 }: TreatmentMarkProps) {
  const scale = size / 2;
  return (
    <g transform={`translate(${x} ${y}) scale(${scale})`} aria-hidden="true">
      <Body treatment={treatment} edge={1.1 / scale} />
    </g>
  );
}

/** The same mark as a picture of its own, to stand in a line of text or a table. */
export function TreatmentIcon({ treatment, size = 18 }: TreatmentMarkProps) {
  return (
    <svg width={size} height={size} viewBox={`0 0 ${size} ${size}`} aria-hidden="true">
      <TreatmentMark treatment={treatment} x={size / 2} y={size / 2} size={size * 0.78} />
    </svg>
  );
}
