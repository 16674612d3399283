import { doesFit as fits } from './arrange';
import { askProblem } from './ask-problem';
import type { FitRequest } from './fit-request';

type PlotSize = FitRequest['plot'];
type Tries = (request: FitRequest) => boolean;

/** Sides are given in steps of this many centimetres. */
const step = 5;
/** A plot is at most this many times as long as it is wide: a thinner one is all edge. */
const thinnest = 4;
const most = 24;

/** Widths worth trying: those at which a whole number of lanes just fills some stretch of a bed. */
function widthsOf({ beds, buffer, edge, blocks, perBlock }: FitRequest): number[] {
  const need = Math.min(blocks * perBlock, most);
  const stretches = beds.flatMap((bed) => {
    const cuts = (bed.blocked ?? []).flatMap((b) => [
      bed.width - b.x - b.width,
      bed.height - b.y - b.height,
      b.x,
      b.y,
    ]);
    return [bed.width, bed.height, ...cuts].filter((stretch) => stretch > 2 * edge);
  });
  const widths = [...new Set(stretches)].flatMap((stretch) =>
    Array.from({ length: need }, (_, k) => (stretch - 2 * edge + buffer) / (k + 1) - buffer),
  );
  const rounded = widths.map((width) => Math.floor((width * 100 + 1e-6) / step));
  return [...new Set(rounded)].filter((width) => width >= 2).sort((a, b) => b - a);
}

/** The longest plot of a width that fits, in steps; 0 where none does. */
function longestOf(request: FitRequest, width: number, atLeast: number, doesFit: Tries): number {
  const metres = (steps: number): number => (steps * step) / 100;
  const isGood = (length: number): boolean =>
    doesFit({ ...request, plot: { width: metres(width), length: metres(length) } });
  let low = Math.max(Math.ceil(width / thinnest), atLeast);
  let high = width * thinnest;
  if (low > high || !isGood(low)) return 0;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (isGood(middle)) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** As `largestPlot`, for a request that is known to be whole. */
export function largestPlotOf(request: FitRequest, doesFit: Tries): PlotSize | undefined {
  let best: { readonly width: number; readonly length: number } | undefined;
  for (const width of widthsOf(request)) {
    const beaten = best ? Math.floor((best.width * best.length) / width) + 1 : 1;
    const length = longestOf(request, width, beaten, doesFit);
    if (length > 0) best = { width, length };
  }
  return best && { width: (best.width * step) / 100, length: (best.length * step) / 100 };
}

/**
 * The plot of the largest area, sides in steps of 5 cm and neither more than four times the other,
 * with which the request would fit. Every answer is one that `fitPlots` lays out; where blocked
 * ground makes room jump with the size, a slightly larger one may exist.
 *
 * @returns metres; undefined where not even a plot of 10 cm fits, or the request itself is faulty.
 */
export function largestPlot(request: Omit<FitRequest, 'plot'>): PlotSize | undefined {
  const whole = { ...request, plot: { width: 0.1, length: 0.1 } };
  return askProblem(whole) ? undefined : largestPlotOf(whole, fits);
}
