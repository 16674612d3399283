import type { ReactElement } from 'react';
import type { BedLayout, PlacedPlot } from './bed-drawn';
import { type Box, round } from './frame';
import { tone } from './theme';

/** A box in hundredths of a pixel. */
export const rounded = (box: Box): Box => ({
  x: round(box.x),
  y: round(box.y),
  width: round(box.width),
  height: round(box.height),
});

const grown = (box: Box, by: number): Box => ({
  x: box.x - by,
  y: box.y - by,
  width: box.width + 2 * by,
  height: box.height + 2 * by,
});

/** Patterns for what is lost (plots) and what cannot be used (ground), apart by their slant. */
export function Hatches(props: { readonly id: string; readonly ground: boolean }): ReactElement {
  const { id, ground } = props;
  return (
    <defs>
      <pattern id={`${id}hatch`} width={8} height={8} patternUnits="userSpaceOnUse">
        <path d="M-1 9L9-1M-1 1L1-1M7 9L9 7" stroke={tone('line')} strokeWidth={2} />
      </pattern>
      {ground ? (
        <pattern id={`${id}ground`} width={7} height={7} patternUnits="userSpaceOnUse">
          <path d="M-1-1L8 8M-1 6L1 8M6-1L8 1" stroke={tone('ink')} strokeWidth={1.5} />
        </pattern>
      ) : null}
    </defs>
  );
}

/** Soil, and what of it is a path or cannot be used. */
export function BedGround(props: {
  readonly layout: BedLayout;
  readonly id: string;
}): ReactElement {
  const { layout, id } = props;
  return (
    <>
      {layout.beds.map((bed, i) => (
        <rect key={i} {...rounded(bed)} rx={4} fill={tone('soil')} stroke={tone('soil-edge')} />
      ))}
      {layout.blocked.map(({ why, ...box }, i) =>
        why === 'path' ? (
          <rect
            key={i}
            {...rounded(box)}
            fill={tone('paper')}
            stroke={tone('soil-edge')}
            strokeDasharray="4 3"
          />
        ) : (
          <g key={i}>
            <rect {...rounded(box)} fill={tone('paper')} stroke={tone('soil-edge')} />
            <rect {...rounded(box)} fill={`url(#${id}ground)`} />
          </g>
        ),
      )}
    </>
  );
}

const gap = (a: Box, b: Box): number =>
  Math.max(a.x - b.x - b.width, b.x - a.x - a.width, a.y - b.y - b.height, b.y - a.y - a.height);

/** The box between two that face each other with no more than `reach` between them. */
function bridge(a: Box, b: Box, reach: number): Box | undefined {
  const left = Math.max(a.x, b.x);
  const right = Math.min(a.x + a.width, b.x + b.width);
  const top = Math.max(a.y, b.y);
  const foot = Math.min(a.y + a.height, b.y + b.height);
  if (gap(a, b) > reach) return undefined;
  if (right - left > 1) {
    return { x: left, y: Math.min(top, foot), width: right - left, height: Math.abs(foot - top) };
  }
  if (foot - top > 1) {
    return { x: Math.min(left, right), y: top, width: Math.abs(right - left), height: foot - top };
  }
  return undefined;
}

/** Widest margin round a block, pixels. */
const widest = 6;

type BlockShape = { readonly block: string; readonly boxes: readonly Box[] };

/** The ground where four plots of a block meet at their corners. */
function crossings(boxes: readonly Box[], reach: number): readonly Box[] {
  return boxes.flatMap((a, i) =>
    boxes.slice(i + 1).flatMap((b): Box[] => {
      const x = Math.min(a.x + a.width, b.x + b.width);
      const y = Math.min(a.y + a.height, b.y + b.height);
      const width = Math.max(a.x, b.x) - x;
      const height = Math.max(a.y, b.y) - y;
      if (width < 0 || height < 0 || Math.max(width, height) > reach) return [];
      const corner = { x, y, width, height };
      return boxes.filter((box) => gap(box, corner) < 1).length >= 4 ? [corner] : [];
    }),
  );
}

/** The plots of each block with the ground between neighbours of one bed. */
function shapesOf(plots: readonly PlacedPlot[]): readonly BlockShape[] {
  const blocks = [...new Set(plots.flatMap(({ plot }) => plot.block ?? []))];
  const reach = closestOf(plots.map(({ box }) => box)) + widest;
  return blocks.map((block) => {
    const own = plots.filter(({ plot }) => plot.block === block);
    const beds = [...new Set(own.map(({ plot }) => plot.source.place?.bed))];
    const boxes = beds.flatMap((bed) => {
      const here = own.flatMap(({ plot, box }) => (plot.source.place?.bed === bed ? [box] : []));
      const bridges = here.flatMap((a, i) =>
        here.slice(i + 1).flatMap((b) => bridge(a, b, reach) ?? []),
      );
      return [...here, ...bridges, ...crossings(here, reach)];
    });
    return { block, boxes };
  });
}

/** Pixels between the two plots nearest to each other. */
const closestOf = (boxes: readonly Box[]): number =>
  boxes.reduce(
    (so, a, i) => boxes.slice(i + 1).reduce((near, b) => Math.min(near, gap(a, b)), so),
    Infinity,
  );

/** A line round the plots of each block, where blocks are known and plots have places. */
export function BlockLines({ plots }: { readonly plots: readonly PlacedPlot[] }): ReactElement {
  const closest = closestOf(plots.map(({ box }) => box));
  // Never past the middle between two plots, where the line of the next block begins.
  const margin = Math.max(1, Math.min(widest, closest / 2 - 0.5));
  const line = Math.min(2, margin);
  return (
    <>
      {shapesOf(plots).map(({ block, boxes }) => (
        <g key={block}>
          {boxes.map((box, i) => (
            <rect key={i} {...rounded(grown(box, margin))} fill={tone('plot')} />
          ))}
          {boxes.map((box, i) => (
            <rect key={i} {...rounded(grown(box, margin - line))} fill={tone('soil-edge')} />
          ))}
        </g>
      ))}
    </>
  );
}
