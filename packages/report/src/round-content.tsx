import type { ReactElement } from 'react';
import type { MapPlot, PlantDot } from './bed-plots';
import { discRadius, PlotCode, StopDisc } from './bed-walk';
import { type Box, round, TextLines, type } from './frame';
import { styleOf, type TreatmentStyles } from './marks';
import { PlotPlants } from './plot-plants';
import { textWidth } from './text';
import { TreatmentMark } from './treatment-mark';

const headHeight = 24;
const markWidth = 15;

export type RoundContentProps = {
  readonly plot: MapPlot;
  readonly styles: TreatmentStyles;
  readonly box: Box;
  /** Place in the walk, counted from 1. */
  readonly stop: number | undefined;
  readonly dots: readonly PlantDot[] | undefined;
  /** Written under the code where nothing else stands there. */
  readonly caption: string | undefined;
  readonly turned: boolean;
};

/** Centres of things set side by side in the middle of a box. */
function sideBySide(widths: readonly number[], middle: number, gap: number): readonly number[] {
  const total = widths.reduce((sum, w) => sum + w, 0) + gap * Math.max(0, widths.length - 1);
  let from = middle - total / 2;
  return widths.map((width) => {
    const centre = from + width / 2;
    from += width + gap;
    return centre;
  });
}

/** Where the parts of a plot go: the head in one row, or in two where one is too narrow for it. */
function placesOf(
  box: Box,
  wide: Readonly<Record<'disc' | 'mark' | 'code', number>>,
  hasBody: boolean,
) {
  const middle = box.x + box.width / 2;
  const row = (parts: readonly ('disc' | 'mark' | 'code')[], gap: number) => {
    const shown = parts.filter((part) => wide[part] > 0);
    const total = shown.reduce((sum, part) => sum + wide[part], 0) + gap * (shown.length - 1);
    const centres = sideBySide(
      shown.map((part) => wide[part]),
      middle,
      gap,
    );
    const at = (part: 'disc' | 'mark' | 'code'): number => centres[shown.indexOf(part)] ?? middle;
    return { at, fits: total <= box.width - 2 };
  };
  const full = row(['disc', 'mark', 'code'], 3);
  const plain = row(['disc', 'code'], 1);
  const isTall = box.height >= 2 * headHeight;
  const isStacked = !plain.fits && isTall;
  const rows = isStacked ? 2 : 1;
  const isHigh = box.height >= 40;
  const head = Math.min(headHeight, isHigh || !hasBody ? headHeight : box.height - 8);
  const top = hasBody ? box.y + 1 : box.y + (box.height - rows * head) / 2;
  const bodyTop = top + rows * (head - 2);
  return {
    disc: { x: isStacked ? middle : (full.fits ? full : plain).at('disc'), y: top + head / 2 },
    code: {
      x: isStacked ? middle : (full.fits ? full : plain).at('code'),
      y: top + head / 2 + (isStacked ? head - 3 : 0),
    },
    mark: full.fits && !isStacked ? { x: full.at('mark'), y: top + head / 2 } : undefined,
    body: {
      x: box.x + 3,
      y: bodyTop,
      width: box.width - 6,
      height: box.y + box.height - 3 - bodyTop,
    },
  };
}

/** A plot in a round: its stop in the walk and its code above, its plants below. */
export function RoundContent(props: RoundContentProps): ReactElement {
  const { plot, styles, box, stop, dots = [], caption, turned } = props;
  const { treatment } = plot;
  const hasMark = treatment !== undefined;
  const wide = {
    disc: stop === undefined ? 0 : 2 * discRadius,
    mark: hasMark ? markWidth : 0,
    code: textWidth(plot.code, type.tick, true),
  };
  const hasBody = dots.length > 0 || caption !== undefined || hasMark;
  const { disc, code, mark, body } = placesOf(box, wide, hasBody);
  const centre = { x: body.x + body.width / 2, y: body.y + Math.min(body.height / 2, 12) };
  const markAt = mark ?? (dots.length === 0 ? centre : undefined);
  const isCaptioned =
    dots.length === 0 && caption !== undefined && (!hasMark || mark) && body.height >= type.tick;
  return (
    <>
      {stop === undefined ? null : <StopDisc {...disc} stop={stop} />}
      {hasMark && markAt ? (
        <TreatmentMark
          treatment={styleOf(styles, treatment)}
          x={round(markAt.x)}
          y={round(markAt.y)}
          size={13}
        />
      ) : null}
      <PlotCode code={plot.code} {...code} />
      <PlotPlants dots={dots} box={body} plot={plot.source.place} turned={turned} />
      {isCaptioned ? (
        <TextLines
          lines={[caption]}
          x={round(centre.x)}
          y={round(centre.y)}
          size={type.tick}
          anchor="middle"
          soft
        />
      ) : null}
    </>
  );
}
