import type { Outcome } from '@fairbed/verdict';
import { type ReactElement, useId } from 'react';
import { textBlock } from './axis';
import type { BedLabel, BedLayout } from './bed-drawn';
import { BedGround, BlockLines, Hatches } from './bed-ground';
import { bedLayout } from './bed-layout';
import {
  bedTitle,
  describeBed,
  type MapPlot,
  type MapRound,
  type MapTrial,
  mapFormat,
  mapPlots,
} from './bed-plots';
import { WalkLine } from './bed-walk';
import { Compass } from './compass';
import { type ChartProps, Frame, round, smallestWidth, TextLines, thumb, type } from './frame';
import { PlotBox, PlotGround } from './plot-box';
import { hasBar } from './plot-content';
import { plantWords } from './plot-plants';
import { textWidth } from './text';
import { tone } from './theme';

export type BedMapProps = ChartProps &
  MapRound & {
    /** A trial, or the parts of one that a map draws (`planMap`). */
    readonly trial: MapTrial;
    /** Whose values stand in the plots. */
    readonly outcome?: Outcome | undefined;
    /** Before the reveal: codes only, one neutral colour, no treatment anywhere. */
    readonly codesOnly?: boolean | undefined;
    /** A line round the plots of each block, and the block's name in plots with room for it. */
    readonly blocks?: boolean | undefined;
    /** Pixels it should not be higher than; plots stay large enough for a thumb all the same. */
    readonly maxHeight?: number | undefined;
    /** Side of every plot that a finger may hit, pixels: 44, or 56 in the garden. */
    readonly target?: number | undefined;
    /** In place of the usual title. */
    readonly title?: string | undefined;
  };

/**
 * The beds to scale with every plot in its place, or a schematic grid where places are unknown. In
 * a round plants are dots that fill in (`plants`) and plots carry their number in the walk (`walk`).
 */
export function BedMap(props: BedMapProps): ReactElement {
  const { trial, outcome, styles, codesOnly = false, lit, onPick, blocks = false } = props;
  const { maxHeight, plants, walk, target = thumb } = props;
  const width = Math.max(smallestWidth, props.width);
  const id = useId();
  const more: MapRound = { plants, walk };
  const plots = mapPlots(trial, outcome, codesOnly);
  const format = mapFormat(plots);
  const title = props.title ?? bedTitle(outcome);
  const heading = textBlock(title, width - 20);
  const layoutTo = (bottom: number | undefined) =>
    bedLayout(trial, plots, { width, top: heading.height + 10, bottom, target });
  const free = layoutTo(undefined);
  const values = plots.map((p) => p.value).filter((v) => v !== undefined);
  const largest = values.every((v) => v >= 0) ? Math.max(0, ...values) : undefined;
  const foot = textBlock(footText(free, plots, { ...more, blocks }), width - 20, type.tick);
  const below = free.kind === 'to-scale' ? 54 : 16;
  const isTooHigh =
    maxHeight !== undefined && free.bottom + below + Math.ceil(foot.height) > maxHeight;
  const layout = isTooHigh ? layoutTo(maxHeight - below - Math.ceil(foot.height)) : free;
  const footY = layout.bottom + below;
  const said = isTooHigh
    ? textBlock(footText(layout, plots, { ...more, blocks }), width - 20, type.tick)
    : foot;
  const room = Math.min(target, pitchOf(layout));
  const isRound = plants !== undefined || walk !== undefined || blocks;
  return (
    <Frame
      {...{ title, width, onPick }}
      description={describeBed(trial, outcome, codesOnly, more)}
      height={footY + said.height}
    >
      <Hatches id={id} ground={layout.blocked.some(({ why }) => why === 'unusable')} />
      <TextLines lines={heading.lines} x={10} y={14} bold />
      <BedGround {...{ layout, id }} />
      {blocks && layout.kind === 'to-scale' ? <BlockLines plots={layout.plots} /> : null}
      {walk === undefined ? null : (
        <>
          {layout.plots.map(({ plot, box }) => (
            <PlotGround key={plot.id} box={box} />
          ))}
          <WalkLine plots={layout.plots} walk={walk} />
        </>
      )}
      {layout.labels.map((label, i) => (
        <Label key={i} label={label} />
      ))}
      {layout.plots.map((placed) => (
        <PlotBox
          key={placed.plot.id}
          {...{ placed, styles, format, largest, id, lit, onPick }}
          target={room}
          round={isRound ? { ...more, blocks, turned: layout.turned === true } : undefined}
        />
      ))}
      {layout.perMetre === undefined ? null : (
        <Compass
          y={layout.bottom + 24}
          perMetre={layout.perMetre}
          turned={layout.turned === true}
        />
      )}
      <TextLines lines={said.lines} x={10} y={footY} size={type.tick} soft />
    </Frame>
  );
}

/** Pixels from plot to plot: what a finger may hit must not reach over the next one. */
function pitchOf({ plots }: BedLayout): number {
  const middles = plots.map(({ box }) => ({
    x: box.x + box.width / 2,
    y: box.y + box.height / 2,
  }));
  return middles.reduce(
    (so, a, i) =>
      middles
        .slice(i + 1)
        .reduce(
          (near, b) => Math.min(near, Math.max(Math.abs(a.x - b.x), Math.abs(a.y - b.y))),
          so,
        ),
    Infinity,
  );
}

/** Name of a bed, row or column; on paper of its own where it stands on soil. */
function Label({ label }: { readonly label: BedLabel }): ReactElement {
  const { text, x, y, middle = false, onBed = false } = label;
  return (
    <>
      {onBed ? (
        <rect
          x={round(x - 2)}
          y={round(y - 9)}
          width={round(textWidth(text, type.tick) + 4)}
          height={18}
          rx={3}
          fill={tone('paper')}
        />
      ) : null}
      <TextLines
        lines={[text]}
        x={round(x)}
        y={round(y)}
        size={type.tick}
        anchor={middle ? 'middle' : 'start'}
        soft
      />
    </>
  );
}

type Shown = MapRound & { readonly blocks: boolean };

function footText(layout: BedLayout, plots: readonly MapPlot[], more: Shown): string {
  const grid = layout.grid ? ' Rows run down, columns across.' : '';
  const scale =
    layout.kind === 'schematic' && plots.length > 0
      ? [`Not to scale: the sheet gave no places.${grid}`]
      : [];
  const has = (why: 'path' | 'unusable'): boolean => layout.blocked.some((b) => b.why === why);
  const isHatched = has('unusable');
  const lost = isHatched ? 'Hatched plot: lost.' : 'Hatched: lost.';
  const isBarred = layout.plots.some(({ box }) => hasBar(box.height - 2));
  const isRound = more.plants !== undefined || more.walk !== undefined;
  const isValued = !isRound && isBarred && plots.some((plot) => plot.value !== undefined);
  const isLined =
    more.blocks && layout.kind === 'to-scale' && plots.some((plot) => plot.block !== undefined);
  const isNumbered = isLined && more.plants === undefined && plots.every((p) => !p.treatment);
  return (
    [
      ...scale,
      ...(layout.letters ?? []).map(([letter, name]) => `${letter}: ${name}.`),
      layout.drawnTogether ? 'Beds are drawn nearer to each other than they lie.' : '',
      isHatched ? 'Hatched ground: unusable.' : '',
      has('path') ? 'Dashed edge: a path.' : '',
      isLined ? 'A line goes round each block.' : '',
      isNumbered ? 'The lower figure in a plot is its block.' : '',
      more.walk === undefined ? '' : 'Walk by the numbers, from 1.',
      more.plants === undefined ? '' : plantWords([...more.plants.values()].flat()),
      isValued ? 'The bar in a plot is as long as its value.' : '',
      plots.some((plot) => plot.lost) ? lost : '',
    ]
      .filter((sentence) => sentence !== '')
      .join(' ') || ' '
  );
}
