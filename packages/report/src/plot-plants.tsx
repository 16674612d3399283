import type { ReactElement } from 'react';
import type { PlantDot } from './bed-plots';
import { type Box, round, TextLines, type } from './frame';
import { tone } from './theme';

type Dot = { readonly x: number; readonly y: number; readonly state: PlantDot['state'] };

const largest = 6.5;
/** A dot smaller than this shows nothing; a count is written in its place. */
const smallest = 2.2;
/** Height of the bar that fills in where there is no room for dots, pixels. */
const barHeight = 4;

export type PlantsSheet = {
  /** Pixels of the plot that are free for plants. */
  readonly box: Box;
  /** The plot's own size, metres, where its plants have places. */
  readonly plot: { readonly width: number; readonly height: number } | undefined;
  /** North points to the right. */
  readonly turned: boolean;
};

/** Plants where they stand in the plot, drawn into what is free of it. */
function standing(dots: readonly PlantDot[], { box, plot, turned }: PlantsSheet): readonly Dot[] {
  if (!plot || dots.some((dot) => dot.x === undefined || dot.y === undefined)) return [];
  return dots.map(({ x = 0, y = 0, state }) => {
    const east = x / plot.width;
    const north = y / plot.height;
    const [across, down] = turned ? [north, east] : [east, 1 - north];
    return { x: box.x + across * box.width, y: box.y + down * box.height, state };
  });
}

/** Plants whose places are not known, in even rows. */
function inRows(dots: readonly PlantDot[], { box }: PlantsSheet): readonly Dot[] {
  const columns = Math.max(1, Math.ceil(Math.sqrt((dots.length * box.width) / box.height)));
  const even = Math.ceil(dots.length / Math.ceil(dots.length / columns));
  const rows = Math.ceil(dots.length / even);
  return dots.map(({ state }, i) => ({
    x: box.x + (((i % even) + 0.5) * box.width) / even,
    y: box.y + ((Math.floor(i / even) + 0.5) * box.height) / rows,
    state,
  }));
}

/** Radius at which the two plants nearest to each other stay apart and all stay in the box. */
function radiusOf(dots: readonly Dot[], box: Box): number {
  const close = dots.reduce(
    (so, a, i) =>
      dots.slice(i + 1).reduce((near, b) => Math.min(near, Math.hypot(a.x - b.x, a.y - b.y)), so),
    2 * Math.min(box.width, box.height),
  );
  return Math.min(largest, close * 0.38);
}

const circle = ({ x, y }: Dot, r: number): string =>
  `M${round(x - r)} ${round(y)}a${round(r)} ${round(r)} 0 1 0 ${round(2 * r)} 0a${round(r)} ${round(r)} 0 1 0 ${round(-2 * r)} 0`;

const cross = ({ x, y }: Dot, r: number): string =>
  `M${round(x - r)} ${round(y - r)}l${round(2 * r)} ${round(2 * r)}m0 ${round(-2 * r)}l${round(-2 * r)} ${round(2 * r)}`;

const bar = ({ x, y }: Dot, r: number): string => `M${round(x - r)} ${round(y)}h${round(2 * r)}`;

/**
 * Plants as dots that fill in: open where one is to be scored, full once it is, barred where it was
 * skipped, a cross where it is lost; guards are small. A count where dots would be too small.
 */
export function PlotPlants(
  props: PlantsSheet & { readonly dots: readonly PlantDot[] },
): ReactElement | null {
  const { dots, box } = props;
  if (dots.length === 0) return null;
  if (box.width <= 0 || box.height <= barHeight) return <PlantCount {...{ dots, box }} />;
  const placed = standing(dots, props);
  const tried =
    placed.length > 0 && radiusOf(placed, box) >= smallest ? placed : inRows(dots, props);
  const r = radiusOf(tried, box);
  if (r < smallest) return <PlantCount {...{ dots, box }} />;
  const of = (...states: readonly PlantDot['state'][]) =>
    tried.filter((dot) => states.includes(dot.state));
  const path = (shapes: readonly string[]): string => shapes.join('');
  const open = of('due', 'skipped');
  const full = of('scored');
  const guards = of('guard');
  const crossed = path([
    ...of('lost').map((dot) => cross(dot, r * 0.75)),
    ...of('skipped').map((dot) => bar(dot, r)),
  ]);
  const ink = tone('ink');
  return (
    <>
      {guards.length > 0 ? (
        <path
          d={path(guards.map((d) => circle(d, Math.max(1.2, r * 0.35))))}
          fill={tone('ink-soft')}
        />
      ) : null}
      {open.length > 0 ? (
        <path
          d={path(open.map((d) => circle(d, r - 0.6)))}
          fill={tone('plot')}
          stroke={ink}
          strokeWidth={1.2}
        />
      ) : null}
      {full.length > 0 ? <path d={path(full.map((d) => circle(d, r)))} fill={ink} /> : null}
      {crossed === '' ? null : <path d={crossed} stroke={ink} strokeWidth={1.4} fill="none" />}
    </>
  );
}

/** Where there is no room for dots: how far the bar is filled, and the count where it fits. */
function PlantCount(props: {
  readonly dots: readonly PlantDot[];
  readonly box: Box;
}): ReactElement {
  const { dots, box } = props;
  const scored = dots.filter((dot) => dot.state === 'scored').length;
  const all = dots.filter((dot) => dot.state !== 'guard').length;
  const foot = box.y + box.height;
  const hasText = box.height >= type.tick + barHeight;
  return (
    <>
      {hasText ? (
        <TextLines
          lines={[`${scored}/${all}`]}
          x={round(box.x + box.width / 2)}
          y={round(box.y + (box.height - barHeight) / 2)}
          size={type.tick}
          anchor="middle"
          bold
        />
      ) : null}
      <g transform={`translate(${round(box.x)} ${round(foot - barHeight)})`}>
        <rect
          width={round(box.width)}
          height={barHeight}
          fill={tone('plot')}
          stroke={tone('ink')}
        />
        <rect
          width={all > 0 ? round((box.width * scored) / all) : 0}
          height={barHeight}
          fill={tone('ink')}
        />
      </g>
    </>
  );
}

/** What the dots mean, only those that are drawn. */
export function plantWords(dots: readonly PlantDot[]): string {
  const words: Readonly<Record<PlantDot['state'], string>> = {
    due: 'open: to be scored',
    scored: 'full: scored',
    skipped: 'barred: skipped',
    lost: 'cross: lost',
    guard: 'small: a guard, not scored',
  };
  const seen = new Set(dots.map((dot) => dot.state));
  const said = Object.entries(words).flatMap(([state, word]) =>
    seen.has(state as PlantDot['state']) ? [word] : [],
  );
  return said.length === 0 ? '' : `A dot is a plant; ${said.join(', ')}.`;
}
