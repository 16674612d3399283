import type { Problem } from '@fairbed/field';
import { arrange, doesFit } from './arrange';
import { askProblem } from './ask-problem';
import type { FitRequest } from './fit-request';
import type { Rect } from './rect';
import { tooLittleGround } from './too-little-ground';

/** A plot's place, metres from the south-west corner of its bed; blocks are counted from 1. */
export type Cell = Rect & { readonly bed: string; readonly block: number };

export type Fit =
  | { readonly ok: true; readonly cells: readonly Cell[] }
  | { readonly ok: false; readonly problem: Problem };

/**
 * Fits plots into beds. The same request always gives the same layout.
 *
 * Plots lie in lanes along or across a bed, the lanes chosen so that the bed holds as many as it
 * can; they never come nearer to each other than `buffer`, nor to an edge or blocked ground than
 * `edge`. The plots of a block lie beside one another in one bed; where that does not give enough
 * blocks (or spans more of what differs), a block may step over a path narrower than a plot is
 * long. Cells come block by block; of a Latin square row by row from the south, each from the west.
 *
 * @returns the places, or a problem that says how many fit and which change would do.
 */
export function fitPlots(request: FitRequest): Fit {
  const fault = askProblem(request);
  if (fault) return { ok: false, problem: fault };
  const arrangement = arrange(request);
  if (arrangement.blocks.length < request.blocks) {
    return { ok: false, problem: tooLittleGround(request, arrangement, doesFit) };
  }
  const corners = new Map(request.beds.map((bed) => [bed.id, bed]));
  const cells = arrangement.blocks.flatMap((block, i) =>
    block.map(({ x, y, width, height, bed }): Cell => {
      const corner = corners.get(bed);
      const fromCorner = (value: number, from = 0): number =>
        Math.round((value - from) * 1e6) / 1e6;
      return {
        x: fromCorner(x, corner?.x),
        y: fromCorner(y, corner?.y),
        width,
        height,
        bed,
        block: i + 1,
      };
    }),
  );
  return { ok: true, cells };
}
