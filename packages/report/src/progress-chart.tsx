import { line } from './d3';
import type { ReactElement } from 'react';
import { axisRoom, LeftAxis, textBlock, type ValueScale, valueScale } from './axis';
import {
  endedPlots,
  type MeanCourse,
  meanCourses,
  type PlotCourse,
  type Progress,
  roundDays,
} from './course';
import {
  type ChartEvent,
  DayAxis,
  dayAxisHeight,
  dayAxisTitle,
  type DayScale,
  dayScale,
  EventFlags,
  eventsHeight,
  placeEvents,
} from './day-axis';
import type { NumberFormat } from './format';
import {
  type ChartProps,
  Frame,
  lightOf,
  lineHeight,
  type OnPick,
  Pickable,
  round,
  smallestWidth,
  TextLines,
  thumb,
  type,
} from './frame';
import { styleOf, type TreatmentStyles } from './marks';
import { describeProgress, endedText, progressFormat, progressTitle } from './progress-text';
import { spread, textWidth, wrapText } from './text';
import { tone } from './theme';
import { TreatmentMark } from './treatment-mark';

export type ProgressChartProps = ChartProps & {
  readonly progress: Progress;
  /** Storms, sprays: flags on the axis, days after the first round. */
  readonly events?: readonly ChartEvent[] | undefined;
};

const markRoom = 24;

/** Disease over time: every plot a thin line, the mean of each treatment a thick one with marks. */
export function ProgressChart(props: ProgressChartProps): ReactElement {
  const { progress, styles, events = [], lit, onPick } = props;
  const sheet = sheetOf(props);
  const { width, scale, days, top, bottom, courses, labels } = sheet;
  const format = progressFormat(progress);
  const flags = placeEvents(events, days, { left: 10, right: width - 10 });
  const title = progressTitle(progress);
  const heading = textBlock(title, width - 20);
  const ended = endedText(progress);
  const note = ended === undefined ? undefined : textBlock(ended, width - 20, type.tick);
  const axisEnd = bottom + dayAxisHeight;
  const flagsEnd = axisEnd + 18 + eventsHeight(flags);
  return (
    <Frame
      {...{ title, width, onPick }}
      description={describeProgress(progress, events)}
      height={flagsEnd + (note?.height ?? 0) + 8}
    >
      <TextLines lines={heading.lines} x={10} y={14} bold />
      <LeftAxis scale={scale} left={days.left} right={days.right} />
      <DayAxis scale={days} y={bottom} />
      <TextLines lines={[dayAxisTitle(days)]} x={days.left} y={axisEnd + 9} size={type.tick} soft />
      <PlotLines {...{ progress, styles, scale, days, lit, onPick }} />
      {courses.map((course, i) => {
        const label = labels[i];
        if (!label) return null;
        return (
          <Mean
            key={course.treatment}
            {...{ course, label, styles, scale, days, width, format, lit, onPick }}
          />
        );
      })}
      <PlotEnds {...{ progress, scale, days, lit }} />
      <EventFlags events={flags} axisY={bottom} y={axisEnd + 20} />
      {note ? <TextLines lines={note.lines} x={10} y={flagsEnd + 8} size={type.tick} soft /> : null}
      <g aria-hidden="true">
        <line x1={days.left} x2={days.left} y1={top} y2={bottom} stroke={tone('ink-soft')} />
      </g>
    </Frame>
  );
}

type Label = { readonly lines: readonly string[]; readonly y: number; readonly height: number };
type Sheet = {
  readonly width: number;
  readonly scale: ValueScale;
  readonly days: DayScale;
  readonly top: number;
  readonly bottom: number;
  readonly courses: readonly MeanCourse[];
  readonly labels: readonly Label[];
};

/** Measures the sheet: labels at the right end as wide as they need, the lines in what is left. */
function sheetOf({ progress, onPick, ...props }: ProgressChartProps): Sheet {
  const width = Math.max(smallestWidth, props.width);
  const place = (course: MeanCourse): number => styleOf(props.styles, course.treatment).index;
  const courses = [...meanCourses(progress.plots)].sort((a, b) => place(a) - place(b));
  const widest = Math.max(0, ...courses.map((c) => textWidth(c.treatment, type.label)));
  // Room for the longest word, within reason, before a word is broken.
  const words = courses.flatMap((c) => c.treatment.split(' '));
  const word = Math.max(0, ...words.map((each) => textWidth(each, type.label)));
  const most = Math.max(width * (width < 620 ? 0.28 : 0.26), Math.min(word, width * 0.38));
  const labelRoom = Math.min(widest, most) + 1;
  const texts = courses.map((c) => wrapText(c.treatment, labelRoom, type.label));
  const least = onPick ? thumb : 0;
  const heights = texts.map((t) => Math.max(least, t.length * lineHeight(type.label) + 4));
  const top = textBlock(progressTitle(progress), width - 20).height + 18;
  const needed = heights.reduce((sum, height) => sum + height, 0);
  const bottom = top + Math.max(width < 620 ? 230 : 300, needed);
  const values = progress.plots.flatMap((plot) => plot.points.map((point) => point.value));
  const scale = valueScale([0, ...values], { from: bottom, to: top, roomPerTick: 46 });
  const rounds = roundDays(progress.plots.flatMap((plot) => plot.points));
  const right = width - 10 - labelRoom - markRoom - 12;
  const days = dayScale(rounds, axisRoom(scale) + 8, right);
  const wanted = courses.map((course, i) => ({
    at: scale.at(course.points.at(-1)?.value ?? 0),
    size: heights[i] ?? 0,
  }));
  const centres = spread(wanted, top - 8, bottom + 8);
  const labels = texts.map((lines, i) => ({
    lines,
    y: centres[i] ?? 0,
    height: heights[i] ?? 0,
  }));
  return { width, scale, days, top, bottom, courses, labels };
}

type Point = { readonly day: number; readonly value: number };
const pathOf = (points: readonly Point[], days: DayScale, scale: ValueScale): string =>
  line<Point>()
    .x((p) => days.at(p.day))
    .y((p) => scale.at(p.value))(points) ?? '';

/** Single plots, behind the means. Keys reach a plot in the bed map; here a pointer does. */
function PlotLines(props: {
  readonly progress: Progress;
  readonly styles: TreatmentStyles;
  readonly scale: ValueScale;
  readonly days: DayScale;
  readonly lit: ChartProps['lit'];
  readonly onPick: OnPick | undefined;
}): ReactElement {
  const { progress, styles, scale, days, lit, onPick } = props;
  return (
    <g aria-hidden="true" fill="none">
      {progress.plots.map((plot) => (
        <PlotLine key={plot.plot} {...{ plot, styles, scale, days, lit, onPick }} />
      ))}
    </g>
  );
}

function PlotLine(props: {
  readonly plot: PlotCourse;
  readonly styles: TreatmentStyles;
  readonly scale: ValueScale;
  readonly days: DayScale;
  readonly lit: ChartProps['lit'];
  readonly onPick: OnPick | undefined;
}): ReactElement | null {
  const { plot, styles, scale, days, lit, onPick } = props;
  const last = plot.points.at(-1);
  if (!last) return null;
  const own = { treatment: plot.treatment, plot: plot.plot };
  const light = lightOf(own, lit);
  const chosen = light === 'lit' && lit?.plot === plot.plot;
  const d = pathOf(plot.points, days, scale);
  const pick = onPick ? { onClick: () => onPick(chosen ? undefined : own) } : {};
  return (
    <g {...pick}>
      <path
        d={d}
        stroke={styleOf(styles, plot.treatment).line}
        strokeWidth={chosen ? 3 : 1}
        opacity={chosen ? 1 : light === 'dimmed' ? 0.2 : 0.6}
      />
      {plot.points.length === 1 ? (
        <circle
          cx={days.at(last.day)}
          cy={scale.at(last.value)}
          r={3}
          stroke={styleOf(styles, plot.treatment).line}
        />
      ) : null}
      {onPick ? <path d={d} stroke="transparent" strokeWidth={14} /> : null}
    </g>
  );
}

/** On top of all lines: a cross where a plot stops early, and the course of a plot that is lit. */
function PlotEnds(props: {
  readonly progress: Progress;
  readonly scale: ValueScale;
  readonly days: DayScale;
  readonly lit: ChartProps['lit'];
}): ReactElement {
  const { progress, scale, days, lit } = props;
  const chosen = progress.plots.find((plot) => plot.plot === lit?.plot);
  const course = chosen && pathOf(chosen.points, days, scale);
  const crosses = endedPlots(progress.plots).flatMap(({ points }) => {
    const last = points.at(-1);
    if (!last) return [];
    const corner = `${round(days.at(last.day) - 6)} ${round(scale.at(last.value) - 6)}`;
    return [`M${corner}l12 12m0-12l-12 12`];
  });
  const strokes = [course, ...crosses].filter((d) => d !== undefined).join('');
  if (strokes === '') return <g />;
  return (
    <g aria-hidden="true" fill="none" strokeLinecap="round" pointerEvents="none">
      <path d={strokes} stroke={tone('paper')} strokeWidth={5.5} />
      <path d={strokes} stroke={tone('ink')} strokeWidth={2.2} />
    </g>
  );
}

function Mean(props: {
  readonly course: MeanCourse;
  readonly label: Label;
  readonly styles: TreatmentStyles;
  readonly scale: ValueScale;
  readonly days: DayScale;
  readonly width: number;
  readonly format: NumberFormat;
  readonly lit: ChartProps['lit'];
  readonly onPick: OnPick | undefined;
}): ReactElement | null {
  const { course, label, styles, scale, days, width, format, lit, onPick } = props;
  const last = course.points.at(-1);
  if (!last) return null;
  const style = styleOf(styles, course.treatment);
  const own = { treatment: course.treatment };
  const d = pathOf(course.points, days, scale);
  const x = days.right + 20;
  const textTop = label.y - ((label.lines.length - 1) * lineHeight(type.label)) / 2;
  return (
    <Pickable
      pick={own}
      label={`${course.treatment}: ${format(last.value)} at the last round`}
      hit={{
        x: days.right + 8,
        y: label.y - label.height / 2,
        width: width - days.right - 8,
        height: label.height,
      }}
      {...{ lit, onPick }}
    >
      <path d={d} fill="none" stroke={style.line} strokeWidth={3} strokeLinejoin="round" />
      {onPick ? <path d={d} fill="none" stroke="transparent" strokeWidth={20} /> : null}
      {course.points.map((point) => (
        <TreatmentMark
          key={point.day}
          treatment={style}
          x={days.at(point.day)}
          y={scale.at(point.value)}
          size={11}
        />
      ))}
      <path
        d={`M${days.at(last.day) + 7} ${scale.at(last.value)}L${x - 9} ${round(label.y)}`}
        stroke={tone('ink-soft')}
        strokeWidth={1}
      />
      <TreatmentMark treatment={style} x={x} y={round(label.y)} size={13} />
      <TextLines lines={label.lines} x={x + 12} y={textTop} bold={lightOf(own, lit) === 'lit'} />
    </Pickable>
  );
}
