import type { Judgement } from '@fairbed/verdict';
import { area } from './d3';
import { type ReactElement, useId } from 'react';
import { axisRoom, LeftAxis, textBlock, type ValueScale, valueScale } from './axis';
import { describeBalance, type LeafFate, leafFates, leafFormat } from './balance-text';
import { roundDays } from './course';
import { DayAxis, dayAxisHeight, dayAxisTitle, type DayScale, dayScale } from './day-axis';
import type { NumberFormat } from './format';
import {
  type ChartProps,
  Frame,
  lightOf,
  lineHeight,
  Pickable,
  smallestWidth,
  TextLines,
  type,
} from './frame';
import { styleOf } from './marks';
import { spread, textWidth } from './text';
import { tone } from './theme';
import { TreatmentMark } from './treatment-mark';

export type Balance = NonNullable<Judgement['balanceOverTime']>;
type Course = Balance[number];
type BalancePoint = Course['points'][number];

export type BalanceChartProps = ChartProps & {
  readonly balance: Balance;
};

const panelGap = 20;
const plotHeight = 112;
const title = 'Where the leaves went: leaves per plant, mean over the plots';

/**
 * One panel a treatment, one scale for all: standing healthy, standing diseased, stripped so far,
 * lost so far, on top of each other, so that a bed stripped bare can't pass for a healthy one.
 */
export function BalanceChart(props: BalanceChartProps): ReactElement {
  const { balance, styles, lit, onPick } = props;
  const width = Math.max(smallestWidth, props.width);
  const id = useId();
  const columns = Math.max(1, Math.min(balance.length, Math.floor((width + panelGap) / 400)));
  const panelWidth = (width - 20 - (columns - 1) * panelGap) / columns;
  const heading = textBlock(title, width - 20);
  const heads = balance.map((b) => textBlock(b.treatment, panelWidth - 26));
  const headHeight = Math.max(0, ...heads.map((h) => h.height)) + 12;
  const panelHeight = headHeight + plotHeight + dayAxisHeight + 18;
  const rows = Math.ceil(balance.length / columns);
  const top = heading.height + 14;
  const scales = scalesOf(balance, panelWidth);
  return (
    <Frame
      {...{ title, width, onPick }}
      description={describeBalance(balance)}
      height={top + rows * (panelHeight + 10) + 16}
    >
      <Patterns id={id} />
      <TextLines lines={heading.lines} x={10} y={14} bold />
      {balance.map((course, i) => {
        const x = 10 + (i % columns) * (panelWidth + panelGap);
        const y = top + Math.floor(i / columns) * (panelHeight + 10);
        return (
          <g key={course.treatment} transform={`translate(${x} ${y})`}>
            <Pickable
              pick={{ treatment: course.treatment }}
              label={describeBalance([course])}
              hit={{ x: 0, y: 0, width: panelWidth, height: panelHeight }}
              {...{ lit, onPick }}
            >
              <TreatmentMark treatment={styleOf(styles, course.treatment)} x={8} y={10} />
              <TextLines
                lines={heads[i]?.lines ?? []}
                x={24}
                y={10}
                bold={lightOf({ treatment: course.treatment }, lit) === 'lit'}
              />
              <g transform={`translate(0 ${headHeight})`}>
                <Panel {...{ course, id, scales }} />
              </g>
            </Pickable>
          </g>
        );
      })}
      <TextLines
        lines={[dayAxisTitle(scales.days)]}
        x={10}
        y={top + rows * (panelHeight + 10) + 2}
        size={type.tick}
        soft
      />
    </Frame>
  );
}

type Scales = {
  readonly scale: ValueScale;
  readonly days: DayScale;
  readonly format: NumberFormat;
};

function scalesOf(balance: Balance, panelWidth: number): Scales {
  const points = balance.flatMap((b) => b.points);
  const totals = points.map((p) => p.healthy + p.diseased + p.strippedSoFar + p.lostSoFar);
  const format = leafFormat(balance);
  const scale = valueScale([0, ...totals], { from: plotHeight, to: 0, roomPerTick: 26 });
  const labels = points.flatMap((p) => leafFates.map((f) => `${format(f.of(p))} ${f.short}`));
  const room = Math.max(60, ...labels.map((text) => textWidth(text, type.tick)));
  const days = dayScale(roundDays(points), axisRoom(scale), panelWidth - room - 22);
  return { scale, days, format };
}

function Panel(props: {
  readonly course: Course;
  readonly id: string;
  readonly scales: Scales;
}): ReactElement {
  const { course, id, scales } = props;
  const { scale, days } = scales;
  return (
    <>
      <LeftAxis scale={scale} left={days.left} right={days.right} />
      {leafFates.map((fate, i) => (
        <path
          key={fate.key}
          d={areaOf(course.points, i, scales)}
          fill={fate.pattern ? `url(#${id}${fate.key})` : tone(fate.key)}
          stroke={tone('ink')}
          strokeWidth={1}
          strokeLinejoin="round"
        />
      ))}
      <DayAxis scale={days} y={plotHeight} />
      <EndLabels {...{ course, scales }} />
    </>
  );
}

const below = (point: BalancePoint, upTo: number): number =>
  leafFates.slice(0, upTo).reduce((sum, fate) => sum + fate.of(point), 0);

/** The band of one fate. One round alone is drawn as a column. */
function areaOf(points: readonly BalancePoint[], fate: number, { scale, days }: Scales): string {
  const [only, second] = points;
  const wide =
    only && !second
      ? [
          { at: days.left + 8, point: only },
          { at: days.right - 8, point: only },
        ]
      : points.map((point) => ({ at: days.at(point.day), point }));
  return (
    area<(typeof wide)[number]>()
      .x((d) => d.at)
      .y0((d) => scale.at(below(d.point, fate)))
      .y1((d) => scale.at(below(d.point, fate + 1)))(wide) ?? ''
  );
}

/** What stands at the end of each band, in figures and words, beside it. */
function EndLabels({ course, scales }: { course: Course; scales: Scales }): ReactElement | null {
  const { scale, days, format } = scales;
  const last = course.points.at(-1);
  if (!last) return null;
  const middles = leafFates.map((fate, i) => ({
    at: scale.at(below(last, i) + fate.of(last) / 2),
    size: lineHeight(type.tick),
  }));
  // Bands that share a place (all zero) keep the order in which they are stacked.
  const ys = spread(middles.toReversed(), -8, plotHeight + 8).toReversed();
  return (
    <g>
      {leafFates.map((fate: LeafFate, i) => (
        <g key={fate.key}>
          <path
            d={`M${days.right + 2} ${middles[i]?.at ?? 0}L${days.right + 14} ${ys[i] ?? 0}`}
            stroke={tone('ink-soft')}
          />
          <TextLines
            lines={[`${format(fate.of(last))} ${fate.short}`]}
            x={days.right + 18}
            y={ys[i] ?? 0}
            size={type.tick}
          />
        </g>
      ))}
    </g>
  );
}

/** Hatching for stripped leaves and dots for lost ones: they hold in black and white. */
function Patterns({ id }: { id: string }): ReactElement {
  return (
    <defs>
      <pattern id={`${id}stripped`} width={7} height={7} patternUnits="userSpaceOnUse">
        <rect width={7} height={7} fill={tone('stripped')} />
        <path d="M-1 8L8-1M-1 1L1-1M6 8L8 6" stroke={tone('ink')} strokeWidth={1} />
      </pattern>
      <pattern id={`${id}lost`} width={7} height={7} patternUnits="userSpaceOnUse">
        <rect width={7} height={7} fill={tone('lost')} />
        <circle cx={2} cy={2} r={0.9} fill={tone('ink')} />
      </pattern>
    </defs>
  );
}
