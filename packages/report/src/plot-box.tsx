import type { ReactElement } from 'react';
import type { PlacedPlot } from './bed-drawn';
import { rounded } from './bed-ground';
import { blockText, type MapPlot, type MapRound, plotText, stopOf } from './bed-plots';
import type { NumberFormat } from './format';
import { type Box, type ChartProps, lightOf, type Pick, Pickable, type } from './frame';
import type { TreatmentStyles } from './marks';
import { PlotContent } from './plot-content';
import { RoundContent } from './round-content';
import { textWidth } from './text';
import { tone } from './theme';

const insetOf = (box: Box): Box => ({
  x: box.x + 1,
  y: box.y + 1,
  width: box.width - 2,
  height: box.height - 2,
});

/** The ground of a plot alone, for what lies under the things that stand in it. */
export const PlotGround = ({ box }: { readonly box: Box }): ReactElement => (
  <rect {...rounded(insetOf(box))} rx={3} fill={tone('plot')} />
);

/** Does the plot show a round or a plan, not a treatment with its value? */
const isRound = (plot: MapPlot, { plants, walk }: MapRound): boolean =>
  plants !== undefined ||
  walk !== undefined ||
  (plot.treatment === undefined && plot.value === undefined);

/** The block's name where it fits: in full, else the name alone. */
function captionOf(plot: MapPlot, width: number, isWanted: boolean): string | undefined {
  if (!isWanted || plot.block === undefined) return undefined;
  return [blockText(plot.block), plot.block].find(
    (text) => textWidth(text, type.tick) <= width - 4,
  );
}

type PlotBoxProps = {
  readonly placed: PlacedPlot;
  readonly styles: TreatmentStyles;
  readonly format: NumberFormat;
  /** Largest value of the map; undefined where lengths would lie (values below zero). */
  readonly largest: number | undefined;
  readonly id: string;
  readonly lit: ChartProps['lit'];
  readonly onPick: ChartProps['onPick'];
  /** Side that a finger may hit at least, pixels. */
  readonly target: number;
  /** What a round or a plan shows in plots; undefined where values stand in them. */
  readonly round: (MapRound & { readonly blocks: boolean; readonly turned: boolean }) | undefined;
};

/** A plot that can be picked by finger, pointer or key. */
export function PlotBox(props: PlotBoxProps): ReactElement {
  const { placed, styles, format, largest, id, lit, onPick, target, round: more } = props;
  const { plot, box } = placed;
  const own: Pick = {
    plot: plot.key,
    ...(plot.treatment === undefined ? {} : { treatment: plot.treatment }),
  };
  const light = lightOf(own, lit);
  const inset = insetOf(box);
  const wide = Math.max(target, box.width);
  const high = Math.max(target, box.height);
  const hit = {
    x: box.x + (box.width - wide) / 2,
    y: box.y + (box.height - high) / 2,
    width: wide,
    height: high,
  };
  return (
    <Pickable
      pick={own}
      label={plotText(plot, format, more)}
      hit={rounded(hit)}
      ground={
        <rect
          {...rounded(inset)}
          rx={3}
          fill={more?.walk === undefined ? tone('plot') : 'none'}
          stroke={tone(light === 'lit' ? 'ink' : 'soil-edge')}
          strokeWidth={light === 'lit' ? 3 : 1}
        />
      }
      {...{ lit, onPick }}
    >
      {plot.lost ? <rect {...rounded(inset)} rx={3} fill={`url(#${id}hatch)`} /> : null}
      {more === undefined || !isRound(plot, more) ? (
        <PlotContent {...{ plot, styles, format, largest }} box={inset} />
      ) : (
        <RoundContent
          {...{ plot, styles }}
          box={inset}
          stop={stopOf(plot, more)}
          dots={more.plants?.get(plot.id)}
          caption={captionOf(plot, inset.width, more.blocks)}
          turned={more.turned}
        />
      )}
    </Pickable>
  );
}
