import type { ReactElement } from 'react';
import type { RoundDay } from './course';
import { shortDate } from './format';
import { lineHeight, round, TextLines, type } from './frame';
import { textWidth } from './text';
import { tone } from './theme';

export type DayScale = {
  readonly at: (day: number) => number;
  readonly left: number;
  readonly right: number;
  readonly rounds: readonly RoundDay[];
  readonly dated: boolean;
};

/** Days to pixels between two edges; a single day stands near the right end. */
export function dayScale(rounds: readonly RoundDay[], left: number, right: number): DayScale {
  const first = rounds[0]?.day ?? 0;
  const last = rounds.at(-1)?.day ?? first;
  const dated = rounds.length > 0 && rounds.every((r) => r.date !== undefined);
  const at = (day: number): number =>
    round(first === last ? right - 24 : left + ((day - first) / (last - first)) * (right - left));
  return { at, left, right, rounds, dated };
}

/** The rounds that can be labelled without touching: the last always, others from the end back. */
export function labelledRounds(scale: DayScale): readonly (RoundDay & { readonly text: string })[] {
  const kept: (RoundDay & { text: string })[] = [];
  let free = Number.POSITIVE_INFINITY;
  for (const { day, date } of [...scale.rounds].reverse()) {
    const text = scale.dated && date !== undefined ? shortDate(date) : String(day);
    const half = textWidth(text, type.tick) / 2;
    if (scale.at(day) + half > free) continue;
    kept.unshift({ day, date, text });
    free = scale.at(day) - half - 10;
  }
  return kept;
}

/** What the axis counts: the year where all rounds are dated in one, else days. */
export function dayAxisTitle(scale: DayScale): string {
  if (!scale.dated) return 'days after the first round';
  const years = [...new Set(scale.rounds.map((r) => r.date?.slice(0, 4)))];
  return years.length === 1 ? (years[0] ?? '') : `${years[0] ?? ''} to ${years.at(-1) ?? ''}`;
}

export const dayAxisHeight = 22;

/** Ticks at the rounds with their dates or day counts under them. */
export function DayAxis(props: { readonly scale: DayScale; readonly y: number }): ReactElement {
  const { scale, y } = props;
  return (
    <g aria-hidden="true">
      <line x1={scale.left} x2={scale.right} y1={y} y2={y} stroke={tone('ink-soft')} />
      {scale.rounds.map(({ day }) => (
        <line
          key={day}
          x1={scale.at(day)}
          x2={scale.at(day)}
          y1={y}
          y2={y + 5}
          stroke={tone('ink-soft')}
        />
      ))}
      {labelledRounds(scale).map(({ day, text }) => (
        <TextLines
          key={day}
          lines={[text]}
          x={scale.at(day)}
          y={y + 15}
          size={type.tick}
          anchor="middle"
          soft
        />
      ))}
    </g>
  );
}

/** Something that happened: a storm, a spray. Days after the first round. */
export type ChartEvent = { readonly day: number; readonly label: string };

const flagRoom = 15;

export type PlacedEvent = ChartEvent & {
  readonly x: number;
  readonly textX: number;
  readonly row: number;
};

/**
 * Places the labels of events in as few rows as keep them apart, each beside its flag and inside
 * the sheet. Events outside the rounds are left out: the axis does not reach them.
 */
export function placeEvents(
  events: readonly ChartEvent[],
  scale: DayScale,
  sheet: { readonly left: number; readonly right: number },
): readonly PlacedEvent[] {
  const first = scale.rounds[0]?.day ?? 0;
  const last = scale.rounds.at(-1)?.day ?? 0;
  const ends: number[] = [];
  return [...events]
    .filter((event) => event.day >= first && event.day <= last)
    .sort((a, b) => a.day - b.day)
    .map((event) => {
      const x = scale.at(event.day);
      const wide = textWidth(event.label, type.tick) + flagRoom;
      const textX = Math.max(sheet.left, Math.min(x, sheet.right - wide));
      let row = ends.findIndex((end) => end + 10 <= textX);
      if (row === -1) row = ends.length;
      ends[row] = textX + wide;
      return { ...event, x, textX, row };
    });
}

export const eventsHeight = (events: readonly PlacedEvent[]): number =>
  events.length === 0 ? 0 : (Math.max(...events.map((e) => e.row)) + 1) * lineHeight(type.tick) + 8;

/** Small flags on the axis at `axisY`, their labels in rows from `y`. */
export function EventFlags(props: {
  readonly events: readonly PlacedEvent[];
  readonly axisY: number;
  readonly y: number;
}): ReactElement {
  const { events, axisY, y } = props;
  return (
    <g aria-hidden="true">
      {events.map((event, i) => (
        <g key={i}>
          <path d={`M${event.x} ${axisY}v-20l10 5l-10 5`} fill={tone('ink')} stroke={tone('ink')} />
          <path
            d={`M${event.textX + 1} ${y + 14 + event.row * lineHeight(type.tick)}v-12l9 4l-9 4`}
            fill={tone('ink')}
            stroke={tone('ink')}
          />
          <TextLines
            lines={[event.label]}
            x={event.textX + flagRoom}
            y={y + 8 + event.row * lineHeight(type.tick)}
            size={type.tick}
          />
        </g>
      ))}
    </g>
  );
}
