import type { BedPlan, Cell } from '@fairbed/trial';
import type { MapTrial } from './bed-plots';

/**
 * A plan without treatments as a map draws it: beds where they lie and plots as they were fitted,
 * numbered from 1, with their blocks. For planning, before any draw.
 */
export function planMap(beds: readonly BedPlan[], cells: readonly Cell[]): MapTrial {
  const blocks = [...new Set(cells.map((cell) => cell.block))].map(String);
  return {
    beds: beds.map(({ blocked = [], ...bed }) => ({ ...bed, blocked: [...blocked] })),
    treatments: [],
    blocks: blocks.map((id) => ({ id, name: id })),
    plots: cells.map(({ block, ...place }, i) => ({
      id: String(i + 1),
      treatment: '',
      block: String(block),
      place,
    })),
  };
}
