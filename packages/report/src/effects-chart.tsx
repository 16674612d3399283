import type { ControlComparison, Outcome } from '@fairbed/verdict';
import type { ReactElement } from 'react';
import { BottomAxis, lanePath, textBlock, type ValueScale, valueScale } from './axis';
import { describeEffects, effectFigure, effectFormat, effectsTitle, worthOf } from './effects-text';
import {
  type ChartProps,
  Frame,
  lightOf,
  lineHeight,
  Pickable,
  round,
  smallestWidth,
  TextLines,
  type,
} from './frame';
import { styleOf, type TreatmentStyles } from './marks';
import { RowLabel } from './row-label';
import { type ChartRow, type RowLayout, rowLayout } from './row-layout';
import { textWidth } from './text';
import { tone } from './theme';
import { TreatmentMark } from './treatment-mark';

export type EffectsChartProps = ChartProps & {
  readonly outcome: Outcome;
  readonly control: string | null;
  /** Smallest difference worth having, percent of the control's mean; drawn where given. */
  readonly worthHavingPercent?: number | undefined;
};

/**
 * Difference of every treatment from the control: thick is the estimate give or take one standard
 * error, thin the simultaneous 95 % interval. Draws a sentence where nothing was compared.
 */
export function EffectsChart(props: EffectsChartProps): ReactElement {
  const { outcome, control, styles, lit, onPick } = props;
  const width = Math.max(smallestWidth, props.width);
  const compared = outcome.versusControl ?? [];
  const description = describeEffects(outcome, control, props.worthHavingPercent);
  const title = effectsTitle(outcome, control);
  if (compared.length === 0) {
    const block = textBlock(description, width - 20);
    return (
      <Frame {...{ title, description, width, onPick }} height={block.height + 20}>
        <TextLines lines={block.lines} x={10} y={20} />
      </Frame>
    );
  }
  const head = headOf(props, width);
  const format = effectFormat(outcome);
  const entries = compared.map((c) => ({ name: c.name, figure: effectFigure(c, format) }));
  const rows = rowLayout(entries, width, head.height);
  const scale = effectScale(compared, head.worth, rows);
  const bottom = rows.bottom + 6;
  return (
    <Frame {...{ title, description, width, onPick }} height={bottom + 48}>
      <TextLines lines={head.title.lines} x={10} y={14} bold />
      <BottomAxis {...{ scale, bottom, width }} lanes={rows.lanes} />
      <Zone {...{ scale, head, rows, control }} />
      {rows.rows.map((row, i) => {
        const comparison = compared[i];
        if (!comparison) return null;
        return (
          <EffectRow
            key={row.name}
            {...{ row, comparison, scale, styles, width, lit, onPick }}
            format={(c) => effectFigure(c, format)}
          />
        );
      })}
      <Directions better={outcome.better} rows={rows} y={bottom + 34} />
    </Frame>
  );
}

type Head = {
  readonly title: { readonly lines: readonly string[] };
  readonly worth: number | undefined;
  readonly worthLines: readonly string[];
  readonly worthY: number;
  readonly zeroY: number;
  readonly height: number;
};

function headOf(props: EffectsChartProps, width: number): Head {
  const { outcome, control, worthHavingPercent } = props;
  const title = textBlock(effectsTitle(outcome, control), width - 20);
  const worth = worthOf(outcome, control, worthHavingPercent);
  const more = outcome.better === 'lower' ? 'less' : 'more';
  const text = `worth having: ${worthHavingPercent ?? 0}\u00a0% ${more} than ${control ?? ''}`;
  const block = worth === undefined ? undefined : textBlock(text, width - 24, type.tick);
  const worthTop = title.height + 14;
  const zeroTop = worthTop + (block?.height ?? 0);
  return {
    title,
    worth,
    worthLines: block?.lines ?? [],
    worthY: worthTop + 6,
    zeroY: zeroTop + 6,
    height: zeroTop + lineHeight(type.tick) + 4,
  };
}

function effectScale(
  compared: readonly ControlComparison[],
  worth: number | undefined,
  rows: RowLayout,
): ValueScale {
  const values = compared.flatMap((c) => [c.difference, c.low, c.high]);
  const ends = compared.flatMap(({ difference, se }) =>
    difference === null || se === null ? [] : [difference - se, difference + se],
  );
  const all = [...values.filter((v) => v !== null), ...ends, 0, worth ?? 0];
  // No difference anywhere: zero in the middle, so that both directions have a side.
  const spreadOut = all.some((v) => v !== 0) ? all : [-1, 1];
  return valueScale(spreadOut, { from: rows.left, to: rows.right, roomPerTick: 48, across: true });
}

/** Keeps a label of a given width inside the strip, as near to its line as it goes. */
function placed(x: number, wide: number, rows: RowLayout): number {
  return Math.min(Math.max(x, rows.left - 10 + wide / 2), rows.right + 10 - wide / 2);
}

const halo = { paintOrder: 'stroke', strokeWidth: 5, strokeLinejoin: 'round' } as const;

/** The line of no difference and the zone of a difference worth having, with their labels. */
function Zone(props: {
  readonly scale: ValueScale;
  readonly head: Head;
  readonly rows: RowLayout;
  readonly control: string | null;
}): ReactElement {
  const { scale, head, rows, control } = props;
  const zero = scale.at(0);
  const zeroText = `same as ${control ?? 'the control'}`;
  const x = head.worth === undefined ? 0 : scale.at(head.worth);
  const worthWide = Math.max(0, ...head.worthLines.map((line) => textWidth(line, type.tick)));
  const worthExtra = (head.worthLines.length - 1) * lineHeight(type.tick);
  const firstTop = round(rows.stacked ? head.zeroY + 13 : head.height);
  const end = (head.worth ?? 0) < 0 ? scale.at(scale.low) : scale.at(scale.high);
  return (
    <g aria-hidden="true">
      {head.worth === undefined ? null : (
        <>
          {rows.lanes.map((lane) => (
            <rect
              key={lane.top}
              x={round(Math.min(x, end))}
              y={round(lane.top)}
              width={round(Math.abs(end - x))}
              height={round(lane.bottom - lane.top)}
              fill={tone('worth')}
            />
          ))}
          <path
            d={`M${x} ${head.worthY + 8 + worthExtra}V${firstTop}${lanePath(x, rows.lanes)}`}
            stroke={tone('worth-edge')}
            strokeWidth={1.5}
            strokeDasharray="6 4"
          />
          <g stroke={tone('paper')} {...halo}>
            <TextLines
              lines={head.worthLines}
              x={placed(x, worthWide, rows)}
              y={head.worthY}
              size={type.tick}
              anchor="middle"
            />
          </g>
        </>
      )}
      <path
        d={`M${zero} ${head.zeroY + 8}V${firstTop}${lanePath(zero, rows.lanes)}`}
        stroke={tone('ink')}
      />
      <g stroke={tone('paper')} {...halo}>
        <TextLines
          lines={[zeroText]}
          x={placed(zero, textWidth(zeroText, type.tick), rows)}
          y={head.zeroY}
          size={type.tick}
          anchor="middle"
        />
      </g>
    </g>
  );
}

type EffectRowProps = Pick3 & {
  readonly row: ChartRow;
  readonly comparison: ControlComparison;
  readonly scale: ValueScale;
  readonly styles: TreatmentStyles;
  readonly format: (comparison: ControlComparison) => string;
};
type Pick3 = {
  readonly width: number;
  readonly lit: ChartProps['lit'];
  readonly onPick: ChartProps['onPick'];
};

function EffectRow(props: EffectRowProps): ReactElement {
  const { row, comparison, scale, styles, width, lit, onPick } = props;
  const { name, difference, se, low, high } = comparison;
  const style = styleOf(styles, name);
  const y = row.stripY;
  return (
    <Pickable
      pick={{ treatment: name }}
      label={`${name}: ${props.format(comparison)}`}
      lit={lit}
      onPick={onPick}
      hit={{ x: 0, y: row.top, width, height: row.height }}
    >
      <RowLabel {...{ row, width }} treatment={style} bold={isLit(name, lit)} />
      {low === null || high === null ? null : (
        <path
          d={`M${scale.at(low)} ${y}H${scale.at(high)}M${scale.at(low)} ${y - 5}v10M${scale.at(high)} ${y - 5}v10`}
          stroke={tone('ink')}
          strokeWidth={1.5}
          fill="none"
        />
      )}
      {difference === null || se === null ? null : (
        <line
          x1={scale.at(difference - se)}
          x2={scale.at(difference + se)}
          y1={y}
          y2={y}
          stroke={style.line}
          strokeWidth={7}
        />
      )}
      {difference === null ? null : (
        <TreatmentMark treatment={style} x={scale.at(difference)} y={y} size={15} />
      )}
    </Pickable>
  );
}

const isLit = (name: string, lit: ChartProps['lit']): boolean =>
  lightOf({ treatment: name }, lit) === 'lit';

/** Which way is better, under the axis at both its ends. */
function Directions(props: {
  readonly better: 'lower' | 'higher';
  readonly rows: RowLayout;
  readonly y: number;
}): ReactElement {
  const { better, rows, y } = props;
  const [left, right] = better === 'lower' ? ['better', 'worse'] : ['worse', 'better'];
  return (
    <g aria-hidden="true">
      <TextLines lines={[`← ${left}`]} x={rows.left - 4} y={y} size={type.tick} soft />
      <TextLines
        lines={[`${right} →`]}
        x={rows.right + 4}
        y={y}
        size={type.tick}
        anchor="end"
        soft
      />
    </g>
  );
}
