import { placesByBlock } from '../ranks/score-test';
import type { Between } from './cells';
import { turnbull } from './turnbull';

/** Share without the event and summed hazards after each step, from 0 steps on. */
function hazardsOf(masses: readonly number[]) {
  const survival = [1];
  const hazard = [0];
  masses.forEach((mass, j) => {
    hazard.push(hazard[j] + Math.min(1, mass / survival[j]));
    survival.push(Math.max(0, survival[j] - mass));
  });
  survival[masses.length] = 0;
  return { survival, hazard };
}

/** Scores of one block by its own curve. */
function scoresOf(between: Between): Float64Array {
  const curve = turnbull(between);
  if (curve === undefined) return new Float64Array(0);
  const { steps, within } = curve;
  const { survival, hazard } = hazardsOf(steps.map(({ mass }) => mass));
  const at = (after: number): number => survival[after] * hazard[after];
  return Float64Array.from(within.first, (first, i) => {
    if (between.right[i] === Infinity) return -hazard[first];
    const after = within.last[i] + 1;
    return (at(after) - at(first)) / (survival[first] - survival[after]);
  });
}

/**
 * Log-rank scores of intervals: events less what the common curve of the block would have brought
 * that value by the time it happened, averaged over its interval (Sun 1996, Statist. Med.
 * 15:1387-1395; as one formula in Fay 1999, Biometrics 55:1246-1252: (S_R H_R - S_L H_L) / (S_L -
 * S_R), H the summed hazards of Turnbull's estimate with treatments taken together). Positive:
 * earlier than the block's other values. They add up to 0 in each block; with exact days the sum
 * of a group is its observed less its expected events in Mantel's log-rank test.
 *
 * @throws RangeError for columns of different length or an interval that ends before it begins.
 */
export function logRankScores({
  left,
  right,
  block,
}: Between & { readonly block?: ArrayLike<number> | undefined }): Float64Array {
  const scores = new Float64Array(left.length);
  for (const members of placesByBlock(left.length, block)) {
    const own = scoresOf({
      left: members.map((i) => left[i]),
      right: members.map((i) => right[i]),
    });
    members.forEach((i, at) => (scores[i] = own[at]));
  }
  return scores;
}
