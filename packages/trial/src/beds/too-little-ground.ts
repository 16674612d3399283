import type { Problem } from '@fairbed/field';
import type { FitRequest } from './fit-request';
import { largestPlotOf } from './largest-plot';

type Held = { readonly slots: number; readonly blocks: readonly unknown[] };
type Tries = (request: FitRequest) => boolean;

const metres = (length: number): string => `${Math.round(length * 100) / 100} m`;
const size = ({ width, length }: FitRequest['plot']): string =>
  `${metres(width)} x ${metres(length)}`;
const plural = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`;

/** Steps of a length downwards, whole centimetres and no more than about forty of them. */
function* shorter(from: number, least: number): Generator<number> {
  const step = Math.max(5, Math.ceil(from * 2.5)) / 100;
  for (let n = Math.ceil(from / step - 1e-9) - 1; n * step >= least - 1e-9; n--) {
    yield Math.round(n * step * 100) / 100;
  }
}

const firstThat = (lengths: Iterable<number>, isGood: (length: number) => boolean) => {
  for (const length of lengths) if (isGood(length)) return length;
  return undefined;
};

/** A plot that fits: as wide as wished and shorter, else the largest of any shape. */
function smallerPlot(request: FitRequest, doesFit: Tries): FitRequest['plot'] | undefined {
  const { plot } = request;
  const withLength = (length: number) => ({ ...request, plot: { ...plot, length } });
  const least = Math.max(0.1, plot.length / 3);
  const length = firstThat(shorter(plot.length, least), (l) => doesFit(withLength(l)));
  return length === undefined ? largestPlotOf(request, doesFit) : { ...plot, length };
}

/** Every change of one figure that would do, each tried. */
function remedies(request: FitRequest, held: number, doesFit: Tries): string[] {
  const { buffer, edge, latin, blocks, perBlock } = request;
  const plot = smallerPlot(request, doesFit);
  const gap = firstThat(shorter(buffer, 0), (b) => doesFit({ ...request, buffer: b }));
  const strip = firstThat(shorter(edge, 0), (e) => doesFit({ ...request, edge: e }));
  return [
    plot && `plots of ${size(plot)}`,
    gap === undefined ? undefined : `${metres(gap)} between plots`,
    strip === undefined ? undefined : `a guard strip of ${metres(strip)}`,
    latin || held < 2 || held >= blocks ? undefined : `${held} blocks of ${perBlock}`,
  ].filter((remedy) => remedy !== undefined);
}

/** What the beds hold, what is needed, and every single change that would make it fit. */
export function tooLittleGround(request: FitRequest, held: Held, doesFit: Tries): Problem {
  const { blocks, perBlock, latin, plot, buffer } = request;
  const need = blocks * perBlock;
  const such = `${plural(Math.min(held.slots, need), 'plot')} of ${size(plot)} with ${metres(buffer)} between them`;
  const enough = held.slots >= need;
  const shape = latin
    ? `but no grid of ${blocks} x ${blocks}`
    : `but only ${plural(held.blocks.length, 'block')} of ${perBlock} that lie together; ${blocks} are needed`;
  const what = enough
    ? `The beds have room for ${such}, ${shape}.`
    : `The beds hold ${such}; ${plural(blocks, latin ? 'row' : 'block')} of ${perBlock} need ${need}.`;
  const ways = remedies(request, held.blocks.length, doesFit);
  return {
    kind: 'fault',
    code: 'plots-do-not-fit',
    what,
    do:
      ways.length > 0
        ? `It would fit with ${ways.join(', or with ')}.`
        : 'Draw more ground, or plan fewer treatments.',
  };
}
