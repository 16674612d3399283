import type { Problem } from '@fairbed/field';
import type { FitRequest } from './fit-request';
import { isCloser } from './rect';

/** More plots than this are no trial of a small garden, and take long to lay out. */
const mostPlots = 1000;
/** Shortest side of a plot or bed, metres; longest side of a bed. */
const least = 0.05;
const longest = 1000;

const fault = (code: string, what: string, remedy: string): Problem => ({
  kind: 'fault',
  code,
  what,
  do: remedy,
});

const isLength = (value: number): boolean =>
  Number.isFinite(value) && value >= least && value <= longest;

const isGap = (value: number): boolean => Number.isFinite(value) && value >= 0 && value <= longest;

const isPlace = (value: number): boolean => Number.isFinite(value) && Math.abs(value) <= 1e5;

function bedProblem({ beds }: FitRequest): Problem | undefined {
  if (beds.length === 0) return fault('no-beds', 'There is no bed yet.', 'Draw a bed first.');
  for (const [i, bed] of beds.entries()) {
    const rects = [bed, ...(bed.blocked ?? [])];
    const isGood = (r: (typeof rects)[number]): boolean =>
      isLength(r.width) && isLength(r.height) && isPlace(r.x) && isPlace(r.y);
    if (!rects.every(isGood)) {
      return fault(
        'bed-size',
        `Bed ${bed.name} or what is blocked in it has a side that is no length from ${least} to ${longest} m.`,
        'Correct its sides.',
      );
    }
    const twin = beds.slice(0, i).find((other) => other.id === bed.id);
    if (twin) return fault('bed-twice', `Two beds have the id ${bed.id}.`, 'Give each its own.');
    const under = beds.slice(0, i).find((other) => isCloser(other, bed));
    if (under) {
      return fault(
        'beds-overlap',
        `Beds ${under.name} and ${bed.name} lie over each other.`,
        'Move one of them.',
      );
    }
  }
  return undefined;
}

function countProblem({ blocks, perBlock, latin }: FitRequest): Problem | undefined {
  const isCount = (n: number): boolean => Number.isInteger(n) && n >= 1;
  if (!isCount(blocks) || !isCount(perBlock)) {
    return fault(
      'block-count',
      `Blocks and plots in a block must be whole numbers from 1; got ${blocks} and ${perBlock}.`,
      'Correct them.',
    );
  }
  if (latin && blocks !== perBlock) {
    return fault(
      'latin-not-square',
      `A Latin square needs as many rows as treatments; got ${blocks} rows of ${perBlock} plots.`,
      'Make the two numbers equal.',
    );
  }
  if (blocks * perBlock > mostPlots) {
    return fault(
      'too-many-plots',
      `${blocks * perBlock} plots are more than Fairbed lays out (${mostPlots}).`,
      'Plan fewer blocks or fewer treatments.',
    );
  }
  return undefined;
}

/** What of a request cannot be laid out at all, whatever the ground; undefined where all is well. */
export function askProblem(request: FitRequest): Problem | undefined {
  const { plot, buffer, edge } = request;
  if (!isLength(plot.width) || !isLength(plot.length)) {
    return fault(
      'plot-size',
      `A plot's sides must be ${least} to ${longest} m; got ${plot.width} and ${plot.length}.`,
      'Correct the size of the plots.',
    );
  }
  if (!isGap(buffer) || !isGap(edge)) {
    return fault(
      'gap-size',
      `The buffer and the guard strip must be 0 m or more; got ${buffer} and ${edge}.`,
      'Correct them.',
    );
  }
  return countProblem(request) ?? bedProblem(request);
}
