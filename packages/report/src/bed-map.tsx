import type { Trial } from '@fairbed/trial';
import type { Outcome } from '@fairbed/verdict';
import { type ReactElement, useId } from 'react';
import { textBlock } from './axis';
import { type BedLayout, bedLayout, type PlacedPlot, scaleBar } from './bed-layout';
import { bedTitle, describeBed, type MapPlot, mapFormat, mapPlots, plotText } from './bed-plots';
import type { NumberFormat } from './format';
import {
  type Box,
  type ChartProps,
  Frame,
  lightOf,
  type Pick,
  Pickable,
  round,
  smallestWidth,
  TextLines,
  thumb,
  type,
} from './frame';
import type { TreatmentStyles } from './marks';
import { hasBar, PlotContent } from './plot-content';
import { textWidth } from './text';
import { tone } from './theme';

export type BedMapProps = ChartProps & {
  readonly trial: Trial;
  /** Whose values stand in the plots. */
  readonly outcome?: Outcome | undefined;
  /** Before the reveal: codes only, one neutral colour, no treatment anywhere. */
  readonly codesOnly?: boolean | undefined;
  /** Pixels it should not be higher than; plots stay large enough for a thumb all the same. */
  readonly maxHeight?: number | undefined;
};

/** The beds to scale with every plot in its place, or a schematic grid where places are unknown. */
export function BedMap(props: BedMapProps): ReactElement {
  const { trial, outcome, styles, codesOnly = false, lit, onPick } = props;
  const width = Math.max(smallestWidth, props.width);
  const id = useId();
  const plots = mapPlots(trial, outcome, codesOnly);
  const format = mapFormat(plots);
  const title = bedTitle(outcome);
  const heading = textBlock(title, width - 20);
  const { maxHeight } = props;
  const layoutTo = (bottom: number | undefined) =>
    bedLayout(trial, plots, { width, top: heading.height + 10, bottom });
  const free = layoutTo(undefined);
  const values = plots.map((p) => p.value).filter((v) => v !== undefined);
  const largest = values.every((v) => v >= 0) ? Math.max(0, ...values) : undefined;
  const foot = textBlock(footText(free, plots), width - 20, type.tick);
  const below = free.kind === 'to-scale' ? 54 : 16;
  const isTooHigh =
    maxHeight !== undefined && free.bottom + below + Math.ceil(foot.height) > maxHeight;
  const layout = isTooHigh ? layoutTo(maxHeight - below - Math.ceil(foot.height)) : free;
  const footY = layout.bottom + below;
  const said = isTooHigh ? textBlock(footText(layout, plots), width - 20, type.tick) : foot;
  return (
    <Frame
      {...{ title, width, onPick }}
      description={describeBed(trial, outcome, codesOnly)}
      height={footY + said.height}
    >
      <Hatch id={id} />
      <TextLines lines={heading.lines} x={10} y={14} bold />
      {layout.beds.map((bed, i) => (
        <rect key={i} {...rounded(bed)} rx={4} fill={tone('soil')} stroke={tone('soil-edge')} />
      ))}
      {layout.labels.map((label, i) => (
        <TextLines
          key={i}
          lines={[label.text]}
          x={round(label.x)}
          y={round(label.y)}
          size={type.tick}
          anchor={label.middle ? 'middle' : 'start'}
          soft
        />
      ))}
      {layout.plots.map((placed) => (
        <PlotBox key={placed.plot.id} {...{ placed, styles, format, largest, id, lit, onPick }} />
      ))}
      {layout.perMetre === undefined ? null : (
        <Compass
          y={layout.bottom + 24}
          perMetre={layout.perMetre}
          turned={layout.turned === true}
        />
      )}
      <TextLines lines={said.lines} x={10} y={footY} size={type.tick} soft />
    </Frame>
  );
}

function footText(layout: BedLayout, plots: readonly MapPlot[]): string {
  const grid = layout.grid ? ' Rows run down, columns across.' : '';
  const scale =
    layout.kind === 'schematic' ? [`Not to scale: the sheet gave no places.${grid}`] : [];
  const lost = plots.some((plot) => plot.lost) ? ['Hatched: lost.'] : [];
  const isBarred = layout.plots.some(({ box }) => hasBar(box.height - 2));
  const bar =
    isBarred && plots.some((plot) => plot.value !== undefined)
      ? ['The bar in a plot is as long as its value.']
      : [];
  return [...scale, ...bar, ...lost].join(' ') || ' ';
}

const rounded = (box: Box): Box => ({
  x: round(box.x),
  y: round(box.y),
  width: round(box.width),
  height: round(box.height),
});

type PlotBoxProps = {
  readonly placed: PlacedPlot;
  readonly styles: TreatmentStyles;
  readonly format: NumberFormat;
  /** Largest value of the map; undefined where lengths would lie (values below zero). */
  readonly largest: number | undefined;
  readonly id: string;
  readonly lit: ChartProps['lit'];
  readonly onPick: ChartProps['onPick'];
};

function PlotBox(props: PlotBoxProps): ReactElement {
  const { placed, styles, format, largest, id, lit, onPick } = props;
  const { plot, box } = placed;
  const own: Pick = {
    plot: plot.key,
    ...(plot.treatment === undefined ? {} : { treatment: plot.treatment }),
  };
  const light = lightOf(own, lit);
  const inset = { x: box.x + 1, y: box.y + 1, width: box.width - 2, height: box.height - 2 };
  const wide = Math.max(thumb, box.width);
  const high = Math.max(thumb, box.height);
  const hit = {
    x: box.x + (box.width - wide) / 2,
    y: box.y + (box.height - high) / 2,
    width: wide,
    height: high,
  };
  return (
    <Pickable
      pick={own}
      label={plotText(plot, format)}
      hit={rounded(hit)}
      ground={
        <rect
          {...rounded(inset)}
          rx={3}
          fill={tone('plot')}
          stroke={tone(light === 'lit' ? 'ink' : 'soil-edge')}
          strokeWidth={light === 'lit' ? 3 : 1}
        />
      }
      {...{ lit, onPick }}
    >
      {plot.lost ? <rect {...rounded(inset)} rx={3} fill={`url(#${id}hatch)`} /> : null}
      <PlotContent {...{ plot, styles, format, largest }} box={inset} />
    </Pickable>
  );
}

function Hatch({ id }: { id: string }): ReactElement {
  return (
    <defs>
      <pattern id={`${id}hatch`} width={8} height={8} patternUnits="userSpaceOnUse">
        <path d="M-1 9L9-1M-1 1L1-1M7 9L9 7" stroke={tone('line')} strokeWidth={2} />
      </pattern>
    </defs>
  );
}

/** Scale bar and north arrow. */
function Compass(props: {
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
