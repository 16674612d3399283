import type { ReactElement } from 'react';
import { BottomAxis, textBlock, type ValueScale, valueScale } from './axis';
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
import { styleOf, type TreatmentStyle } from './marks';
import {
  chanceText,
  describeRanking,
  rankFigure,
  type RankedTreatment,
  rankingKey,
  rankingTitle,
} from './ranking-text';
import { RowLabel } from './row-label';
import { type ChartRow, rowLayout } from './row-layout';
import { tone } from './theme';
import { TreatmentMark } from './treatment-mark';

export type RankingChartProps = ChartProps & {
  readonly ranking: readonly RankedTreatment[];
  readonly control: string | null;
  /** Smallest difference worth having, percent of the control's level. */
  readonly worthHavingPercent?: number | undefined;
};

/**
 * Of every treatment the chance of being the best (mark), of being ahead of the control at all
 * (open bar) and by the difference worth having (filled bar, a part of the open one).
 */
export function RankingChart(props: RankingChartProps): ReactElement {
  const { ranking, control, worthHavingPercent, styles, lit, onPick } = props;
  const width = Math.max(smallestWidth, props.width);
  const title = rankingTitle();
  const heading = textBlock(title, width - 20);
  const keys = keysOf(props, width, heading.height + 12);
  const entries = ranking.map((row) => ({ name: row.name, figure: rankFigure(row, control) }));
  const rows = rowLayout(entries, width, keys.bottom + 6);
  const scale = percentScale(rows.left, rows.right);
  const bottom = rows.bottom + 6;
  return (
    <Frame
      {...{ title, width, onPick }}
      description={describeRanking(ranking, control, worthHavingPercent)}
      height={bottom + 28}
    >
      <TextLines lines={heading.lines} x={10} y={14} bold />
      {keys.drawn}
      <BottomAxis {...{ scale, bottom, width }} lanes={rows.lanes} />
      {rows.rows.map((row, i) => {
        const ranked = ranking[i];
        if (!ranked) return null;
        const style = styleOf(styles, row.name);
        return (
          <RankRow key={row.name} {...{ row, ranked, scale, style, width, control, lit, onPick }} />
        );
      })}
    </Frame>
  );
}

const percentScale = (left: number, right: number): ValueScale => {
  const scale = valueScale([0, 100], { from: left, to: right, roomPerTick: 48, across: true });
  return { ...scale, label: (value) => `${scale.label(value)}\u00a0%` };
};

const barHalf = 6;

const openBar = (x0: number, x1: number, y: number): string =>
  `M${x0} ${y - barHalf}H${x1}V${y + barHalf}H${x0}Z`;

/** What mark and bars stand for, above the rows. */
function keysOf(
  { control, worthHavingPercent, ranking }: RankingChartProps,
  width: number,
  top: number,
) {
  const key = rankingKey(control, worthHavingPercent);
  const compares = ranking.some(({ beatsControl }) => beatsControl !== null);
  const worth = ranking.some(({ beatsWorthwhile }) => beatsWorthwhile !== null);
  const rows = [
    { kind: 'mark', text: key.mark },
    ...(compares ? [{ kind: 'ahead', text: key.ahead }] : []),
    ...(worth ? [{ kind: 'worth', text: key.worth }] : []),
  ];
  let y = top;
  const drawn = rows.map(({ kind, text }) => {
    const block = textBlock(text, width - 56, type.tick);
    const middle = y + lineHeight(type.tick) / 2;
    y += block.height + 2;
    return (
      <g key={kind} aria-hidden="true">
        {kind === 'mark' ? (
          <circle cx={22} cy={middle} r={5} fill="none" stroke={tone('ink')} strokeWidth={1.8} />
        ) : (
          <path
            d={openBar(10, 34, middle)}
            fill={kind === 'worth' ? tone('worth-edge') : tone('worth')}
            stroke={tone('worth-edge')}
          />
        )}
        <TextLines lines={block.lines} x={44} y={middle} size={type.tick} soft />
      </g>
    );
  });
  return { drawn, bottom: y };
}

type RankRowProps = Pick<ChartProps, 'lit' | 'onPick'> & {
  readonly row: ChartRow;
  readonly ranked: RankedTreatment;
  readonly scale: ValueScale;
  readonly style: TreatmentStyle;
  readonly width: number;
  readonly control: string | null;
};

function RankRow(props: RankRowProps): ReactElement {
  const { row, ranked, scale, style, width, control, lit, onPick } = props;
  const own = { treatment: row.name };
  const y = row.stripY;
  const at = (chance: number): number => scale.at(100 * chance);
  const worth =
    ranked.beatsWorthwhile === null
      ? ''
      : `, ahead by what is worth having ${chanceText(ranked.beatsWorthwhile)}`;
  const compared = row.name !== control && ranked.beatsControl !== null;
  return (
    <Pickable
      pick={own}
      label={`${row.name}: ${rankFigure(ranked, control)}${compared ? worth : ''}`}
      hit={{ x: 0, y: row.top, width, height: row.height }}
      {...{ lit, onPick }}
    >
      <RowLabel {...{ row, width }} treatment={style} bold={lightOf(own, lit) === 'lit'} />
      {compared ? (
        <path
          d={openBar(at(0), at(ranked.beatsControl), y)}
          fill={tone('worth')}
          stroke={tone('worth-edge')}
        />
      ) : null}
      {compared && ranked.beatsWorthwhile !== null ? (
        <path d={openBar(at(0), at(ranked.beatsWorthwhile), y)} fill={tone('worth-edge')} />
      ) : null}
      <TreatmentMark treatment={style} x={at(ranked.best)} y={y} size={15} />
    </Pickable>
  );
}
