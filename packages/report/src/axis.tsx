import { type ScaleLinear, scaleLinear, ticks } from './d3';
import type { ReactElement } from 'react';
import { tickFormat } from './format';
import { lineHeight, round, TextLines, type } from './frame';
import { textWidth, wrapText } from './text';
import { tone } from './theme';

export type ValueScale = {
  readonly at: (value: number) => number;
  readonly low: number;
  readonly high: number;
  readonly ticks: readonly number[];
  readonly label: (value: number) => string;
};

type Pixels = {
  readonly from: number;
  readonly to: number;
  readonly roomPerTick: number;
  /** True where tick labels stand side by side. */
  readonly across?: boolean;
};

/**
 * A linear scale for values, from one pixel to another, with as many ticks as have room. All equal
 * values (all zero, say) still get a scale: from the value, or zero, to one step beyond.
 */
export function valueScale(values: readonly number[], pixels: Pixels): ValueScale {
  const finite = values.filter(Number.isFinite);
  let low = Math.min(...finite);
  let high = Math.max(...finite);
  if (finite.length === 0) [low, high] = [0, 1];
  if (low === high) [low, high] = low === 0 ? [0, 1] : [Math.min(0, low), Math.max(0, low)];
  const length = Math.abs(pixels.to - pixels.from);
  let made = scaleWith(low, high, pixels, 7);
  // Long numbers (powers of ten) need more room than short ones: fewer ticks then.
  for (let count = 6; count >= 1; count--) {
    const widest = Math.max(...made.ticks.map((t) => textWidth(made.label(t), type.tick)));
    const room = Math.max(pixels.roomPerTick, pixels.across ? widest + 14 : 0);
    if ((made.ticks.length - 1) * room <= length) break;
    made = scaleWith(low, high, pixels, count);
  }
  return made;
}

function scaleWith(low: number, high: number, pixels: Pixels, count: number): ValueScale {
  const scale: ScaleLinear = scaleLinear().domain([low, high]).nice(count);
  scale.range([pixels.from, pixels.to]);
  const [first = low, last = high] = scale.domain();
  return {
    at: (value) => round(scale(value)),
    low: first,
    high: last,
    ticks: ticks(first, last, count),
    label: tickFormat(first, last, count),
  };
}

/** A stretch from top to bottom that vertical lines may use. */
export type Lane = { readonly top: number; readonly bottom: number };

/** Vertical lines at one place, through some lanes only: text between them stays clear. */
export const lanePath = (x: number, lanes: readonly Lane[]): string =>
  lanes.map(({ top, bottom }) => `M${x} ${round(top)}V${round(bottom)}`).join('');

/** Vertical grid with its numbers under it, for values that run from left to right. */
export function BottomAxis(props: {
  readonly scale: ValueScale;
  readonly lanes: readonly Lane[];
  readonly bottom: number;
  readonly width: number;
}): ReactElement {
  const { scale, lanes, bottom, width } = props;
  const inside = (value: number): number => {
    const half = textWidth(scale.label(value), type.tick) / 2 + 2;
    return round(Math.min(Math.max(scale.at(value), half), width - half));
  };
  return (
    <g aria-hidden="true">
      {scale.ticks.map((value) => (
        <g key={value}>
          <path
            d={`${lanePath(scale.at(value), lanes)}M${scale.at(value)} ${bottom}v4`}
            stroke={tone('line')}
          />
          <TextLines
            lines={[scale.label(value)]}
            x={inside(value)}
            y={bottom + 14}
            size={type.tick}
            anchor="middle"
            soft
          />
        </g>
      ))}
    </g>
  );
}

/** Horizontal grid with its numbers at the left, for values that run upwards. */
export function LeftAxis(props: {
  readonly scale: ValueScale;
  readonly left: number;
  readonly right: number;
}): ReactElement {
  const { scale, left, right } = props;
  return (
    <g aria-hidden="true">
      {scale.ticks.map((value) => (
        <g key={value}>
          <line
            x1={left}
            x2={right}
            y1={scale.at(value)}
            y2={scale.at(value)}
            stroke={tone(value === 0 ? 'ink-soft' : 'line')}
          />
          <TextLines
            lines={[scale.label(value)]}
            x={left - 6}
            y={scale.at(value)}
            size={type.tick}
            anchor="end"
            soft
          />
        </g>
      ))}
    </g>
  );
}

/** Room that the numbers of a left axis take, pixels. */
export const axisRoom = (scale: ValueScale): number =>
  Math.ceil(Math.max(...scale.ticks.map((t) => textWidth(scale.label(t), type.tick))) + 10);

export type TextBlock = { readonly lines: string[]; readonly height: number };

/** A text broken to a width, with the height it takes. */
export function textBlock(text: string, width: number, size: number = type.label): TextBlock {
  const lines = wrapText(text, width, size);
  return { lines, height: lines.length * lineHeight(size) };
}
