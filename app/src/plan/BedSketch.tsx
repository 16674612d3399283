import type { Cell, PlanValues, Trial } from '@fairbed/trial';
import { inGarden, plantsIn, type Rect, type Spacing } from '@fairbed/trial';
import { useId } from 'react';
import { useWidth } from '../useWidth';
import { counted } from '../verdict/numbers';
import { metres } from './figures';

type Bed = Trial['beds'][number];

const margin = 10;
const nameRoom = 18;
const footRoom = 34;
/** Pixels: no metre is drawn larger, a bed no higher than a screen. */
const largestMetre = 160;
const highest = 460;
/** Plants nearer to each other on the screen than this are not drawn. */
const nearest = 5;
const mostPlants = 2000;

const cornerOf = ({ x = 0, y = 0 }: Bed) => ({ x, y });

/** The scale and the frame in which all beds lie, north up. */
function frameOf(beds: readonly Bed[], width: number) {
  const west = Math.min(...beds.map(({ x = 0 }) => x));
  const south = Math.min(...beds.map(({ y = 0 }) => y));
  const east = Math.max(...beds.map(({ x = 0, width: w }) => x + w));
  const north = Math.max(...beds.map(({ y = 0, height: h }) => y + h));
  const perMetre = Math.min(
    (width - 2 * margin) / (east - west),
    (highest - nameRoom - footRoom) / (north - south),
    largestMetre,
  );
  const bottom = nameRoom + (north - south) * perMetre;
  const box = (rect: Rect) => ({
    x: margin + (rect.x - west) * perMetre,
    y: bottom - (rect.y - south + rect.height) * perMetre,
    width: rect.width * perMetre,
    height: rect.height * perMetre,
  });
  return { perMetre, bottom, box, height: bottom + footRoom };
}

type SketchFrame = ReturnType<typeof frameOf>;

function barOf(perMetre: number) {
  const length = [0.5, 1, 2, 5, 10, 20, 50, 100].find((m) => m * perMetre >= 44) ?? 200;
  return { length, pixels: length * perMetre };
}

function Foot({ frame }: { readonly frame: SketchFrame }) {
  const { length, pixels } = barOf(frame.perMetre);
  const y = frame.bottom + 20;
  const end = margin + pixels;
  return (
    <g aria-hidden="true">
      <path
        d={`M${margin} ${y - 5}v10M${margin} ${y}H${end}M${end} ${y - 5}v10`}
        className="sketch-line"
      />
      <text x={end + 8} y={y + 5}>
        {length} m
      </text>
      <path
        d="M0 9V-9M-5-2L0-10L5-2"
        transform={`translate(${end + 66} ${y})`}
        className="sketch-line"
      />
      <text x={end + 78} y={y + 5}>
        north
      </text>
    </g>
  );
}

/** How plants stand, as far as the plan says. */
export function spacingOf(values: PlanValues, guardRows: number): Spacing | undefined {
  const { spacing, plantsPerPlot } = values;
  if (spacing === undefined) return undefined;
  const apart = typeof spacing === 'number' ? { inRow: spacing, betweenRows: spacing } : spacing;
  return {
    plants: apart.inRow,
    rows: apart.betweenRows,
    guardRows,
    ...(plantsPerPlot === undefined ? {} : { score: plantsPerPlot }),
  };
}

function Plants(props: {
  readonly cell: Rect;
  readonly spacing: Spacing;
  readonly frame: SketchFrame;
}) {
  const { cell, spacing, frame } = props;
  const planted = plantsIn(cell, spacing);
  if (!planted.ok) return null;
  return planted.plants.map(({ x, y, use }, i) => {
    const at = frame.box({ x, y, width: 0, height: 0 });
    return <circle key={i} cx={at.x} cy={at.y} r={2} data-use={use} className="sketch-plant" />;
  });
}

const areDrawn = (spacing: Spacing, frame: SketchFrame, cells: readonly Cell[]): boolean => {
  const [first] = cells;
  const planted = first === undefined ? undefined : plantsIn(first, spacing);
  const many = planted?.ok === true ? planted.plants.length * cells.length : Infinity;
  return many <= mostPlants && Math.min(spacing.plants, spacing.rows) * frame.perMetre >= nearest;
};

/** What the sketch shows, in words. */
function describe(beds: readonly Bed[], cells: readonly Cell[]): string {
  const grounds = beds.map((bed) => {
    const blocked = (bed.blocked ?? []).map(({ why }) =>
      why === 'path' ? 'a path' : 'an unusable corner',
    );
    const own = cells.filter((cell) => cell.bed === bed.id);
    const without = blocked.length === 0 ? '' : `, with ${blocked.join(' and ')}`;
    const held = cells.length === 0 ? '' : `: ${counted(own.length, 'plot')}`;
    return `${bed.name}, ${metres(bed.width)} from west to east and ${metres(bed.height)} from south to north${without}${held}.`;
  });
  const blocks = [...new Set(cells.map(({ block }) => block))].toSorted((a, b) => a - b);
  const plots = blocks.map((block) => {
    const inIt = cells.flatMap((cell, i) => (cell.block === block ? [i + 1] : []));
    return `Block ${block}: plots ${inIt.join(', ')}.`;
  });
  return [...grounds, ...plots].join(' ');
}

export type SketchProps = {
  readonly beds: readonly Bed[];
  readonly cells: readonly Cell[];
  readonly spacing: Spacing | undefined;
  /** Whether the design has blocks to be named in the plots. */
  readonly blocked: boolean;
};

function PlotBoxes({
  beds,
  cells,
  spacing,
  blocked,
  frame,
}: SketchProps & { readonly frame: SketchFrame }) {
  const corners = new Map(beds.map((bed) => [bed.id, cornerOf(bed)]));
  const planted = spacing !== undefined && areDrawn(spacing, frame, cells);
  return cells.map((cell, i) => {
    const whole = inGarden(cell, corners.get(cell.bed) ?? { x: 0, y: 0 });
    const box = frame.box(whole);
    const wide = box.width >= 40 && blocked;
    return (
      <g key={i}>
        <rect {...box} rx={2} className="sketch-plot" />
        {planted && <Plants cell={whole} spacing={spacing} frame={frame} />}
        {Math.min(box.width, box.height) >= 14 && (
          <text
            x={box.x + box.width / 2}
            y={box.y + box.height / 2 + 5}
            textAnchor="middle"
            className="sketch-number"
          >
            {i + 1}
            {wide && <tspan className="sketch-block"> · {cell.block}</tspan>}
          </text>
        )}
      </g>
    );
  });
}

/** The beds to scale in their places, what is blocked, and the plots that fit: drawn at once. */
export function BedSketch(props: SketchProps) {
  const { beds, cells, blocked } = props;
  const id = useId();
  const [ref, width] = useWidth<HTMLDivElement>();
  const frame = beds.length > 0 && width > 0 ? frameOf(beds, width) : undefined;
  return (
    <div className="plan-sketch" data-testid="bed-sketch">
      <div ref={ref} />
      {frame && (
        <svg
          width={width}
          height={Math.ceil(frame.height)}
          role="img"
          aria-labelledby={`${id}t`}
          aria-describedby={`${id}d`}
        >
          <title id={`${id}t`}>The beds to scale</title>
          <desc id={`${id}d`}>{describe(beds, cells)}</desc>
          <defs>
            <pattern id={`${id}h`} width={8} height={8} patternUnits="userSpaceOnUse">
              <path d="M-1 9L9-1M-1 1L1-1M7 9L9 7" className="sketch-hatch" />
            </pattern>
          </defs>
          {beds.map((bed) => {
            const box = frame.box({ ...cornerOf(bed), width: bed.width, height: bed.height });
            return (
              <g key={bed.id}>
                <text x={box.x} y={box.y - 5} className="sketch-name">
                  {bed.name}
                </text>
                <rect {...box} rx={3} className="sketch-bed" />
                {(bed.blocked ?? []).map((part, i) => (
                  <g key={i}>
                    <rect {...frame.box(inGarden(part, cornerOf(bed)))} className="sketch-path" />
                    {part.why === 'unusable' && (
                      <rect {...frame.box(inGarden(part, cornerOf(bed)))} fill={`url(#${id}h)`} />
                    )}
                  </g>
                ))}
              </g>
            );
          })}
          <PlotBoxes {...props} frame={frame} />
          <Foot frame={frame} />
        </svg>
      )}
      {cells.length > 0 && (
        <p className="soft small">
          {blocked ? 'In a plot: its number, then its block.' : 'In a plot: its number.'}{' '}
          {props.spacing !== undefined &&
            'Full dots are plants that are scored, open ones guards, pale ones neither.'}
        </p>
      )}
    </div>
  );
}
