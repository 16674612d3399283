import { smallestDifferenceShare } from '@fairbed/stats';
import { drawLayout, type LayoutRequest, layoutsOf, type Trial } from '@fairbed/trial';
import { type EarliestStop, earliestStop } from '../look-plan';

export type FirstStopInput = {
  readonly request: LayoutRequest;
  /** Rounds planned. */
  readonly rounds: number;
  readonly looks?: NonNullable<Trial['plan']>['looks'];
};

/** A list of larger squares takes too long to walk while somebody plans. */
const largestListed = 4;

/**
 * The first round after which a trial of this layout can stop, whatever it shows then: by the
 * smallest p that its largest difference from the control can give (stats,
 * `smallestDifferenceShare`). Undefined where the layout can't be drawn, or is not known so well.
 */
export function firstStop({ request, rounds, looks }: FirstStopInput): EarliestStop | undefined {
  if (request.kind === 'latin-square' && request.treatments.length > largestListed)
    return undefined;
  // Any draw will do: all layouts of a design have the same smallest p.
  const drawn = drawLayout(request, 1);
  if (!drawn.ok) return undefined;
  const { kind, treatments, control = treatments[0] ?? '' } = request;
  const layouts = layoutsOf({
    design: { kind },
    treatments: treatments.map((id) => ({ id })),
    plots: drawn.plots.map((plot, i) => ({ id: `${i}`, ...plot })),
  });
  if (layouts === undefined) return undefined;
  const smallestP = smallestDifferenceShare(layouts.set, layouts.labels, {
    treatments: layouts.treatments.length,
    control: layouts.treatments.indexOf(control),
  });
  if (smallestP === undefined) return undefined;
  return earliestStop({ smallestP, rounds, ...(looks === undefined ? {} : { looks }) });
}
