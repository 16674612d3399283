import { BedMap, type PlantDot, planMap, type TreatmentStyles } from '@fairbed/report';
import type { Cell, PlanValues, Trial } from '@fairbed/trial';
import { plantsIn, type Rect, type Spacing } from '@fairbed/trial';
import { useMemo } from 'react';
import { MapFrame } from './MapFrame';

type Bed = Trial['beds'][number];

const noStyles: TreatmentStyles = new Map();
/** Above so many the dots are no help, and drawing them takes long. */
const mostPlants = 4000;

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

/** Plants of a plot that are scored or guards, from the plot's own corner. */
function dotsIn({ width, height }: Rect, spacing: Spacing): readonly PlantDot[] {
  const planted = plantsIn({ x: 0, y: 0, width, height }, spacing);
  if (!planted.ok) return [];
  return planted.plants.flatMap(({ x, y, use }): PlantDot[] =>
    use === 'spare' ? [] : [{ state: use === 'guard' ? 'guard' : 'due', x, y }],
  );
}

function dotsOf(cells: readonly Cell[], spacing: Spacing | undefined) {
  if (spacing === undefined) return undefined;
  const dots = cells.map((cell) => dotsIn(cell, spacing));
  if (dots.reduce((sum, own) => sum + own.length, 0) > mostPlants) return undefined;
  return new Map(dots.map((own, i) => [`${i + 1}`, own]));
}

/** The beds to scale in their places, what is blocked, and the plots that fit: drawn at once. */
export function BedSketch(props: {
  readonly beds: readonly Bed[];
  readonly cells: readonly Cell[];
  readonly spacing: Spacing | undefined;
  /** Whether the design has blocks to be drawn. */
  readonly blocks: boolean;
  readonly maxHeight: number | undefined;
}) {
  const { beds, cells, spacing, blocks, maxHeight } = props;
  const map = useMemo(
    () =>
      planMap(
        beds.map(({ x = 0, y = 0, ...bed }) => ({ ...bed, x, y })),
        cells,
      ),
    [beds, cells],
  );
  const plants = dotsOf(cells, spacing);
  if (beds.length === 0) return null;
  return (
    <MapFrame
      testId="bed-sketch"
      draw={(width) => (
        <BedMap
          trial={map}
          styles={noStyles}
          codesOnly
          title="The beds to scale"
          {...{ blocks, plants, width, maxHeight }}
        />
      )}
    />
  );
}
