import type { ReactElement } from 'react';
import { axisRoom, LeftAxis, textBlock, type ValueScale, valueScale } from './axis';
import { DayAxis, dayAxisHeight, type DayScale, dayScale } from './day-axis';
import { chanceFigure, fixedNumber } from './format';
import { type ChartProps, Frame, round, smallestWidth, TextLines, type } from './frame';
import { describeLooks, leftToSpend, type Look, looksTitle, type Spending } from './looks-text';
import { textWidth } from './text';
import { tone } from './theme';

export type LooksChartProps = Pick<ChartProps, 'width'> & {
  readonly looks: readonly Look[];
  /** How the chance of a false call is shared out; 0.05 over all looks unless told. */
  readonly spending?: Spending | undefined;
};

const usualSpending: Spending = { alpha: 0.05 };

/**
 * Look by look: the statistic (points, filled where it was enough to stop) beside the bound it had
 * to pass (dashes), and how much of the chance of a false call may be spent (bar).
 */
export function LooksChart(props: LooksChartProps): ReactElement {
  const { looks, spending = usualSpending } = props;
  const width = Math.max(smallestWidth, props.width);
  const title = looksTitle();
  const heading = textBlock(title, width - 20);
  const top = heading.height + 22;
  const bottom = top + (width < 620 ? 190 : 240);
  const scale = looksScale(looks, top, bottom);
  const days = placesOf(looks, axisRoom(scale) + 18, width - 24);
  const barTop = bottom + dayAxisHeight + 22;
  const left = textBlock(leftToSpend(looks, spending), width - 20, type.tick);
  return (
    <Frame
      {...{ title, width }}
      description={describeLooks(looks, spending)}
      height={barTop + 26 + left.height + 10}
    >
      <TextLines lines={heading.lines} x={10} y={14} bold />
      <LeftAxis scale={scale} left={days.left - 10} right={width - 10} />
      <DayAxis scale={days} y={bottom} />
      <Bounds {...{ looks, scale, days }} />
      <Statistics {...{ looks, scale, days }} />
      <Spent {...{ looks, width }} alpha={spending.alpha} y={barTop} />
      <TextLines lines={left.lines} x={10} y={barTop + 32} size={type.tick} soft />
    </Frame>
  );
}

type Parts = {
  readonly looks: readonly Look[];
  readonly scale: ValueScale;
  readonly days: DayScale;
};

const looksScale = (looks: readonly Look[], top: number, bottom: number): ValueScale => {
  const values = looks.flatMap(({ statistic, bound }) => [
    statistic,
    ...(bound === null ? [] : [bound]),
  ]);
  return valueScale([0, ...values], { from: bottom, to: top, roomPerTick: 40 });
};

/** Looks at equal steps, numbered from 1; their dates under them where all have one. */
const placesOf = (looks: readonly Look[], left: number, right: number): DayScale =>
  dayScale(
    looks.map(({ date }, i) => ({ day: i + 1, date: date ?? undefined })),
    left,
    right,
  );

const halo = { paintOrder: 'stroke', strokeWidth: 4, strokeLinejoin: 'round' } as const;

/** A word beside its line, inside the sheet. */
function Word(props: {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly days: DayScale;
}): ReactElement {
  const { text, x, y, days } = props;
  const wide = textWidth(text, type.tick);
  const left = Math.max(days.left - 6, Math.min(x, days.right + 16 - wide));
  return (
    <g stroke={tone('paper')} {...halo}>
      <TextLines lines={[text]} x={round(left)} y={round(y)} size={type.tick} />
    </g>
  );
}

/** The bound of each look, joined by dashes; an arrow up where nothing could have been enough. */
function Bounds({ looks, scale, days }: Parts): ReactElement {
  const half = 12;
  const known = looks.flatMap(({ bound }, i) =>
    bound === null ? [] : [{ x: days.at(i + 1), y: scale.at(bound) }],
  );
  const first = known[0];
  const joined = known.map(({ x, y }, i) => `${i === 0 ? 'M' : 'L'}${x} ${y}`).join('');
  const own = known.map(({ x, y }) => `M${round(x - half)} ${y}H${round(x + half)}`).join('');
  const none = looks.flatMap(({ bound }, i) => (bound === null ? [days.at(i + 1)] : []));
  const top = scale.at(scale.high);
  const arrows = none.map((x) => `M${x} ${top + 14}v-14M${x - 5} ${top + 6}l5 -6l5 6`).join('');
  return (
    <g aria-hidden="true" fill="none">
      <path d={joined} stroke={tone('worth-edge')} strokeDasharray="5 4" />
      <path d={own} stroke={tone('worth-edge')} strokeWidth={3} />
      <path d={arrows} stroke={tone('worth-edge')} strokeWidth={2} />
      {none[0] === undefined ? null : (
        <Word text="out of reach" x={none[0] + 10} y={top + 8} days={days} />
      )}
      {first ? <Word text="needed" x={first.x - half} y={first.y - 11} days={days} /> : null}
    </g>
  );
}

function Statistics({ looks, scale, days }: Parts): ReactElement {
  const points = looks.map((look, i) => ({ look, x: days.at(i + 1), y: scale.at(look.statistic) }));
  const last = points.at(-1);
  const before = points.at(-2);
  // Away from the line that comes in, and from the bound where that does not decide it.
  const comesDown = before !== undefined && last !== undefined && before.y < last.y;
  const isOver = (last?.look.bound ?? Infinity) <= (last?.look.statistic ?? 0);
  const below = comesDown || !isOver;
  return (
    <g aria-hidden="true">
      <path
        d={points.map(({ x, y }, i) => `${i === 0 ? 'M' : 'L'}${x} ${y}`).join('')}
        fill="none"
        stroke={tone('ink')}
        strokeWidth={2}
      />
      {points.map(({ look, x, y }) => (
        <circle
          key={x}
          cx={x}
          cy={y}
          r={6}
          fill={look.stop ? tone('ink') : tone('paper')}
          stroke={tone('ink')}
          strokeWidth={2}
        />
      ))}
      {last ? (
        <Word
          text={`seen ${fixedNumber(last.look.statistic, 2)}`}
          x={days.right + 16}
          y={last.y + (below ? 17 : -17)}
          days={days}
        />
      ) : null}
    </g>
  );
}

/** The chance of a false call as a bar: what each look took, and what is left. */
function Spent(props: {
  readonly looks: readonly Look[];
  readonly alpha: number;
  readonly width: number;
  readonly y: number;
}): ReactElement {
  const { looks, alpha, width, y } = props;
  const ends = ['0', chanceFigure(alpha)] as const;
  const left = 10 + textWidth(ends[0], type.tick) + 8;
  const right = width - 10 - textWidth(ends[1], type.tick) - 8;
  const at = (spent: number): number =>
    round(left + Math.min(1, Math.max(0, spent / alpha)) * (right - left));
  const spent = looks.at(-1)?.alphaSpent ?? 0;
  const steps = looks.slice(0, -1).map(({ alphaSpent }) => `M${at(alphaSpent)} ${y}v16`);
  return (
    <g aria-hidden="true">
      <rect
        x={left}
        y={y}
        width={round(right - left)}
        height={16}
        fill={tone('worth')}
        stroke={tone('worth-edge')}
      />
      <rect x={left} y={y} width={round(at(spent) - left)} height={16} fill={tone('worth-edge')} />
      <path d={steps.join('')} stroke={tone('paper')} strokeWidth={1.5} />
      <TextLines lines={[ends[0]]} x={10} y={y + 8} size={type.tick} soft />
      <TextLines lines={[ends[1]]} x={width - 10} y={y + 8} size={type.tick} anchor="end" soft />
    </g>
  );
}
