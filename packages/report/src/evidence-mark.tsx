import type { EvidenceGrade } from '@fairbed/verdict';
import { type ReactElement, useId } from 'react';
import { lineHeight, round } from './frame';
import { textWidth } from './text';
import { fontStack, tone } from './theme';

export type EvidenceMarkProps = {
  readonly grade: EvidenceGrade;
  /** Height of the leaf in pixels; the word keeps to it. */
  readonly size?: number;
};

/** Share of the leaf that is filled, by grade. */
const evidenceFill: Readonly<Record<EvidenceGrade, number>> = {
  'no answer': 0,
  'a hint': 1 / 3,
  fair: 2 / 3,
  firm: 1,
};

/** A leaf in a box 20 wide and 28 high, its stalk below. */
const leaf = 'M10 1C16 6 19 12 18 18C17 23 13 25 10 25C7 25 3 23 2 18C1 12 4 6 10 1Z';
const leafTop = 1;
const leafBottom = 25;

/** How sure the trial is, by how full a leaf is and by the word beside it. */
export function EvidenceMark({ grade, size = 40 }: EvidenceMarkProps): ReactElement {
  const id = useId();
  const scale = size / 28;
  const type = Math.max(15, size * 0.45);
  const textX = 20 * scale + 10;
  const width = Math.ceil(textX + textWidth(grade, type, true) + 2);
  const height = Math.max(size, lineHeight(type));
  const level = leafBottom - evidenceFill[grade] * (leafBottom - leafTop);
  return (
    <svg
      xmlns="http://www.w3.org/2000/svg"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={`Evidence: ${grade}`}
      fontFamily={fontStack}
    >
      <clipPath id={`${id}c`}>
        <rect x={0} y={round(level)} width={20} height={round(leafBottom - level)} />
      </clipPath>
      <g transform={`scale(${round(scale)})`} strokeLinejoin="round" strokeLinecap="round">
        <path d={leaf} fill={tone('worth-edge')} clipPath={`url(#${id}c)`} />
        <path d={`${leaf}M10 25V28`} fill="none" stroke={tone('ink')} strokeWidth={1.6} />
        {evidenceFill[grade] === 0 ? null : (
          <path d="M10 7V22" stroke={tone('paper')} strokeWidth={1} clipPath={`url(#${id}c)`} />
        )}
      </g>
      <text
        x={round(textX)}
        y={round(height / 2 + type * 0.35)}
        fontSize={type}
        fontWeight={600}
        fill={tone('ink')}
      >
        {grade}
      </text>
    </svg>
  );
}
