import type { Outcome, TreatmentMean } from '@fairbed/verdict';
import type { ReactElement } from 'react';
import { BottomAxis, textBlock, type ValueScale, valueScale } from './axis';
import type { NumberFormat } from './format';
import {
  type ChartProps,
  Frame,
  lightOf,
  Pickable,
  round,
  smallestWidth,
  TextLines,
} from './frame';
import { styleOf, type TreatmentStyle } from './marks';
import {
  describePlotValues,
  meanFigure,
  outcomeFormat,
  type PlotValue,
  plotValuesOf,
  plotValuesTitle,
} from './plot-values-text';
import { RowLabel } from './row-label';
import { type ChartRow, type RowLayout, rowLayout } from './row-layout';
import { tone } from './theme';
import { TreatmentMark } from './treatment-mark';

export type PlotValuesChartProps = ChartProps & {
  readonly outcome: Outcome;
};

/** Every plot's value by treatment, with the mean and its 95 % interval where there is one. */
export function PlotValuesChart(props: PlotValuesChartProps): ReactElement {
  const { outcome, styles, lit, onPick } = props;
  const width = Math.max(smallestWidth, props.width);
  const format = outcomeFormat(outcome);
  const title = plotValuesTitle(outcome);
  const block = textBlock(title, width - 20);
  const entries = outcome.treatments.map((t) => ({ name: t.name, figure: meanFigure(t, format) }));
  const rows = rowLayout(entries, width, block.height + 12);
  const scale = outcomeScale(outcome, rows);
  const bottom = rows.bottom + 6;
  return (
    <Frame
      {...{ title, width, onPick }}
      description={describePlotValues(outcome)}
      height={bottom + 28}
    >
      <TextLines lines={block.lines} x={10} y={14} bold />
      <BottomAxis {...{ scale, bottom, width }} lanes={rows.lanes} />
      {rows.rows.map((row, i) => {
        const mean = outcome.treatments[i];
        if (!mean) return null;
        const plots = plotValuesOf(outcome, row.name);
        const style = styleOf(styles, row.name);
        return (
          <ValueRow
            key={row.name}
            {...{ row, rows, mean, plots, style, scale, width, format, lit, onPick }}
          />
        );
      })}
    </Frame>
  );
}

function outcomeScale(outcome: Outcome, rows: RowLayout): ValueScale {
  const all = [
    0,
    ...outcome.plots.map((p) => p.value),
    ...outcome.treatments.flatMap((t) => [t.low, t.high]),
  ].filter((v) => v !== null);
  return valueScale(all, { from: rows.left, to: rows.right, roomPerTick: 48, across: true });
}

type ValueRowProps = {
  readonly row: ChartRow;
  readonly rows: RowLayout;
  readonly mean: TreatmentMean;
  readonly plots: readonly PlotValue[];
  readonly style: TreatmentStyle;
  readonly scale: ValueScale;
  readonly width: number;
  readonly format: NumberFormat;
  readonly lit: ChartProps['lit'];
  readonly onPick: ChartProps['onPick'];
};

function ValueRow(props: ValueRowProps): ReactElement {
  const { row, rows, mean, plots, style, scale, width, format, lit, onPick } = props;
  const own = { treatment: row.name };
  const single = plots.length === 1;
  const xs = plots.map((p) => scale.at(p.value));
  const beside = { x: 0, y: row.top, width: rows.left - 8, height: row.height };
  const whole = { x: 0, y: row.top, width, height: row.height };
  const strip = { left: rows.left - 8, right: rows.right + 8 };
  return (
    <>
      <Pickable
        pick={own}
        label={`${row.name}: ${meanFigure(mean, format)}`}
        hit={rows.stacked ? whole : beside}
        {...{ lit, onPick }}
      >
        <RowLabel {...{ row, width }} treatment={style} bold={lightOf(own, lit) === 'lit'} />
        <MeanBar {...{ mean, scale, style }} y={round(row.stripY - (single ? 0 : 6))} />
      </Pickable>
      {plots.map((plot, i) => (
        <Pickable
          key={plot.plot}
          pick={{ treatment: row.name, plot: plot.plot }}
          label={`plot ${plot.plot}, ${row.name}: ${format(plot.value)}`}
          hit={hitOf(xs, i, strip, row)}
          {...{ lit, onPick }}
        >
          <circle
            cx={xs[i]}
            cy={round(row.stripY + (single ? 0 : 7 + laneOf(xs, i) * 5))}
            r={single ? 10 : 4.5}
            fill={single ? 'none' : tone('paper')}
            fillOpacity={0.85}
            stroke={style.line}
            strokeWidth={lit?.plot === plot.plot ? 4 : single ? 0 : 2}
          />
        </Pickable>
      ))}
    </>
  );
}

/** The part of the strip that lies nearer to this plot's dot than to its neighbours'. */
function hitOf(
  xs: readonly number[],
  i: number,
  strip: { readonly left: number; readonly right: number },
  row: ChartRow,
) {
  const here = xs[i] ?? strip.left;
  const before = xs[i - 1];
  const after = xs[i + 1];
  const left = before === undefined ? Math.max(strip.left, here - 22) : (before + here) / 2;
  const right = after === undefined ? Math.min(strip.right, here + 22) : (after + here) / 2;
  const height = Math.min(row.height, 44);
  return { x: left, y: row.stripY - height / 2, width: Math.max(right - left, 2), height };
}

/** Dots that would cover each other step down and up again along a run of close ones. */
function laneOf(xs: readonly number[], i: number): number {
  let start = i;
  while (start > 0 && (xs[start] ?? 0) - (xs[start - 1] ?? 0) < 9) start--;
  return (i - start) % 2;
}

function MeanBar(props: {
  readonly mean: TreatmentMean;
  readonly scale: ValueScale;
  readonly style: TreatmentStyle;
  readonly y: number;
}): ReactElement | null {
  const { mean, scale, style, y } = props;
  if (mean.mean === null) return null;
  return (
    <>
      {mean.low === null || mean.high === null ? null : (
        <path
          d={`M${scale.at(mean.low)} ${y}H${scale.at(mean.high)}M${scale.at(mean.low)} ${y - 5}v10M${scale.at(mean.high)} ${y - 5}v10`}
          stroke={tone('ink')}
          strokeWidth={1.5}
          fill="none"
        />
      )}
      <TreatmentMark treatment={style} x={scale.at(mean.mean)} y={y} size={16} />
    </>
  );
}
