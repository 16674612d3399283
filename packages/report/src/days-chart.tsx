import type { ReactElement } from 'react';
import { axisRoom, LeftAxis, textBlock, type ValueScale, valueScale } from './axis';
import { type DaysCurve, type DaysStep, daysTitle, describeDays } from './days-text';
import { fixedNumber } from './format';
import {
  type ChartProps,
  Frame,
  lightOf,
  lineHeight,
  Pickable,
  round,
  smallestWidth,
  TextLines,
  thumb,
  type,
} from './frame';
import { styleOf, type TreatmentStyle } from './marks';
import { spread, textWidth, wrapText } from './text';
import { tone } from './theme';
import { TreatmentMark } from './treatment-mark';

export type DaysChartProps = ChartProps & {
  readonly curves: readonly DaysCurve[];
  /** What happened on the days, as the judgement calls it. */
  readonly event?: string | undefined;
};

const markRoom = 24;

/**
 * Of every treatment the share of plants to which it has not happened, day by day. A fall between
 * two looks is a pale box: the curve went through it, where is not known. It ends at the last look.
 */
export function DaysChart(props: DaysChartProps): ReactElement {
  const { curves, event, styles, lit, onPick } = props;
  const width = Math.max(smallestWidth, props.width);
  const title = daysTitle(event);
  const heading = textBlock(title, width - 20);
  const note = textBlock(
    'Marks: what a look saw. Between two looks the day is not known (dashes).',
    width - 20,
    type.tick,
  );
  const sheet = sheetOf(props, width, heading.height + 20);
  const { up, across, bottom, labels } = sheet;
  return (
    <Frame
      {...{ title, width, onPick }}
      description={describeDays(curves)}
      height={bottom + 52 + note.height}
    >
      <TextLines lines={heading.lines} x={10} y={14} bold />
      <LeftAxis scale={up} left={across.at(across.low)} right={across.at(across.high)} />
      <DayTicks {...{ across, bottom }} />
      {curves.map((curve, i) => {
        const label = labels[i];
        if (!label) return null;
        const style = styleOf(styles, curve.name);
        return (
          <Curve key={curve.name} {...{ curve, label, style, up, across, width, lit, onPick }} />
        );
      })}
      <TextLines lines={note.lines} x={10} y={bottom + 52} size={type.tick} soft />
    </Frame>
  );
}

type Label = { readonly lines: readonly string[]; readonly y: number; readonly height: number };
type Sheet = {
  readonly up: ValueScale;
  readonly across: ValueScale;
  readonly bottom: number;
  readonly labels: readonly Label[];
};

/** Share that stands at the last look. */
const endShare = ({ steps }: DaysCurve): number =>
  steps.reduce((share, step) => (step.to === null ? share : step.share), 1);

function sheetOf({ curves, onPick }: DaysChartProps, width: number, top: number): Sheet {
  const widest = Math.max(0, ...curves.map(({ name }) => textWidth(name, type.label)));
  const words = curves.flatMap(({ name }) => name.split(' '));
  const word = Math.max(0, ...words.map((each) => textWidth(each, type.label)));
  const labelRoom = Math.min(widest, Math.max(width * 0.28, Math.min(word, width * 0.38))) + 1;
  const texts = curves.map(({ name }) => wrapText(name, labelRoom, type.label));
  const least = onPick ? thumb : 0;
  const heights = texts.map((t) => Math.max(least, t.length * lineHeight(type.label) + 4));
  const bottom =
    top +
    Math.max(
      width < 620 ? 230 : 300,
      heights.reduce((sum, height) => sum + height, 0),
    );
  const up = valueScale([0, 100], { from: bottom, to: top, roomPerTick: 46 });
  const days = curves.flatMap(({ steps }) => steps.flatMap(({ from, to }) => [from ?? 0, to ?? 0]));
  const across = valueScale([0, ...days], {
    from: axisRoom(up) + 8,
    to: width - 10 - labelRoom - markRoom - 12,
    roomPerTick: 44,
    across: true,
  });
  const centres = spread(
    curves.map((curve, i) => ({ at: up.at(100 * endShare(curve)), size: heights[i] ?? 0 })),
    top - 8,
    bottom + 8,
  );
  const labels = texts.map((lines, i) => ({ lines, y: centres[i] ?? 0, height: heights[i] ?? 0 }));
  return { up, across, bottom, labels };
}

function DayTicks({ across, bottom }: { readonly across: ValueScale; readonly bottom: number }) {
  return (
    <g aria-hidden="true">
      {across.ticks.map((value) => (
        <g key={value}>
          <path d={`M${across.at(value)} ${bottom}v5`} stroke={tone('ink-soft')} />
          <TextLines
            lines={[across.label(value)]}
            x={across.at(value)}
            y={bottom + 14}
            size={type.tick}
            anchor="middle"
            soft
          />
        </g>
      ))}
      <TextLines lines={['days']} x={across.at(across.low)} y={bottom + 31} size={type.tick} soft />
    </g>
  );
}

type Point = { readonly x: number; readonly y: number };
type Traced = {
  /** Where it is known: flat between a look and the next fall, and falls on a known day. */
  readonly line: string;
  /** Falls between two looks: from corner to corner, and the boxes they went through. */
  readonly dashes: string;
  readonly boxes: string;
  readonly limits: string;
  /** What the looks saw. */
  readonly seen: readonly Point[];
  /** Where the curve ends: the last look that saw its plants. */
  readonly end: Point;
};

const limitBar = (x: number, low: number, high: number): string =>
  `M${round(x - 4)} ${low}h8M${x} ${low}V${high}M${round(x - 4)} ${high}h8`;

function trace(steps: readonly DaysStep[], up: ValueScale, across: ValueScale): Traced {
  const y = (share: number): number => up.at(100 * share);
  const start = across.at(across.low);
  let at: Point = { x: start, y: y(1) };
  let line = '';
  let dashes = '';
  let boxes = '';
  let limits = '';
  const seen: Point[] = [];
  for (const step of steps) {
    const from = step.from === null ? start : across.at(step.from);
    if (from > at.x) line += `M${at.x} ${at.y}H${from}`;
    if (step.to === null) return { line, dashes, boxes, limits, seen, end: { x: from, y: at.y } };
    const next = { x: across.at(step.to), y: y(step.share) };
    if (from === next.x) line += `M${from} ${at.y}V${next.y}`;
    else {
      dashes += `M${from} ${at.y}L${next.x} ${next.y}`;
      boxes += `M${from} ${at.y}H${next.x}V${next.y}H${from}Z`;
    }
    if (step.low !== null && step.high !== null)
      limits += limitBar(next.x, y(step.low), y(step.high));
    at = next;
    seen.push(at);
  }
  return { line, dashes, boxes, limits, seen, end: at };
}

function Curve(
  props: Pick<ChartProps, 'lit' | 'onPick'> & {
    readonly curve: DaysCurve;
    readonly label: Label;
    readonly style: TreatmentStyle;
    readonly up: ValueScale;
    readonly across: ValueScale;
    readonly width: number;
  },
): ReactElement {
  const { curve, label, style, up, across, width, lit, onPick } = props;
  const own = { treatment: curve.name };
  const { line, dashes, boxes, limits, seen, end } = trace(curve.steps, up, across);
  const right = across.at(across.high);
  const textTop = label.y - ((label.lines.length - 1) * lineHeight(type.label)) / 2;
  const isLit = lightOf(own, lit) === 'lit';
  return (
    <Pickable
      pick={own}
      label={`${curve.name}: ${fixedNumber(100 * endShare(curve), 0)} % at the last look`}
      hit={{
        x: right + 8,
        y: label.y - label.height / 2,
        width: width - right - 8,
        height: label.height,
      }}
      {...{ lit, onPick }}
    >
      {isLit ? <path d={boxes} fill={style.line} fillOpacity={0.22} /> : null}
      <path d={line} fill="none" stroke={style.line} strokeWidth={3} />
      <path
        d={dashes}
        fill="none"
        stroke={style.line}
        strokeWidth={isLit ? 3 : 2}
        strokeDasharray="4 4"
      />
      {isLit ? <path d={limits} fill="none" stroke={tone('ink')} strokeWidth={1.5} /> : null}
      {onPick ? <path d={line + dashes} fill="none" stroke="transparent" strokeWidth={18} /> : null}
      {seen.map(({ x, y }, i) => (
        <TreatmentMark key={i} treatment={style} x={x} y={y} size={11} />
      ))}
      <path
        d={`M${end.x + 7} ${end.y}L${right + 13} ${round(label.y)}`}
        stroke={tone('ink-soft')}
        strokeWidth={1}
      />
      <TreatmentMark treatment={style} x={right + 22} y={round(label.y)} size={14} />
      <TextLines lines={label.lines} x={right + 12 + markRoom} y={round(textTop)} bold={isLit} />
    </Pickable>
  );
}
