import type { ReactElement } from 'react';
import type { MapPlot } from './bed-plots';
import type { NumberFormat } from './format';
import { type Box, round, TextLines, type } from './frame';
import { styleOf, type TreatmentStyles } from './marks';
import { textWidth } from './text';
import { tone } from './theme';
import { TreatmentMark } from './treatment-mark';

type Place = { readonly x: number; readonly y: number };

/** Where the parts of a plot go; a part without a place has no room. Text places are centres. */
type Places = {
  readonly mark: Place;
  readonly code: Place | undefined;
  readonly number: Place;
  readonly bar: (Place & { readonly width: number }) | undefined;
};

const markRoom = 19;

/** Is a plot of this height drawn with a bar between its code and its figure? */
export const hasBar = (height: number): boolean => height >= 54;

/**
 * The number comes before the code where there is no room for both. Wide enough: mark and code
 * above, bar and number below. Narrow: code above, mark and number below. Low: mark and number.
 */
function placesOf(box: Box, code: string, number: string, marked: boolean): Places {
  const middle = box.x + box.width / 2;
  const mark = marked ? markRoom : 0;
  const codeWide = textWidth(code, type.tick);
  const numberWide = textWidth(number, type.label, true);
  const pair = (wide: number, y: number) => ({
    mark: { x: middle - (mark + wide) / 2 + 7, y },
    text: { x: middle + mark / 2, y },
  });
  const tall = box.height >= 36;
  const low = box.height < 50;
  const top = box.y + (low ? 11 : 14);
  const bottom = box.y + box.height - (low ? 10 : 13);
  const barWidth = box.width - 14;
  const bar = hasBar(box.height) ? { x: box.x + 7, y: bottom - 17, width: barWidth } : undefined;
  if (!tall) {
    const row = pair(numberWide, box.y + box.height / 2);
    return { mark: row.mark, code: undefined, number: row.text, bar: undefined };
  }
  if (number === '' && !marked) {
    const centre = { x: middle, y: box.y + box.height / 2 };
    return { mark: centre, code: centre, number: centre, bar: undefined };
  }
  if (mark + codeWide <= box.width - 6) {
    const head = pair(codeWide, top);
    return { mark: head.mark, code: head.text, number: { x: middle, y: bottom }, bar };
  }
  if (codeWide <= box.width - 2 && mark + numberWide <= box.width - 2) {
    const foot = pair(numberWide, bottom);
    return { mark: foot.mark, code: { x: middle, y: top }, number: foot.text, bar };
  }
  return { mark: { x: middle, y: top }, code: undefined, number: { x: middle, y: bottom }, bar };
}

/** Mark, code, bar and number of a plot: as much of it as the plot has room for. */
export function PlotContent(props: {
  readonly plot: MapPlot;
  readonly styles: TreatmentStyles;
  readonly format: NumberFormat;
  /** Largest value of the map; undefined where lengths would lie (values below zero). */
  readonly largest: number | undefined;
  readonly box: Box;
}): ReactElement {
  const { plot, styles, format, largest, box } = props;
  const { treatment, value } = plot;
  const number = value === undefined ? (plot.lost ? 'lost' : '') : format(value);
  const {
    mark,
    code,
    number: numberAt,
    bar,
  } = placesOf(box, plot.code, number, treatment !== undefined);
  return (
    <>
      {treatment === undefined ? null : (
        <TreatmentMark
          treatment={styleOf(styles, treatment)}
          x={round(mark.x)}
          y={round(mark.y)}
          size={13}
        />
      )}
      {code ? (
        <TextLines
          lines={[plot.code]}
          x={round(code.x)}
          y={round(code.y)}
          size={type.tick}
          anchor="middle"
          soft
        />
      ) : null}
      {bar && value !== undefined && largest !== undefined ? (
        <g transform={`translate(${round(bar.x)} ${round(bar.y)})`}>
          <rect width={round(bar.width)} height={5} fill={tone('line')} />
          <rect
            width={largest > 0 ? round((bar.width * value) / largest) : 0}
            height={5}
            fill={tone('soil-edge')}
          />
        </g>
      ) : null}
      {number === '' ? null : (
        <TextLines
          lines={[number]}
          x={round(numberAt.x)}
          y={round(numberAt.y)}
          anchor="middle"
          bold
        />
      )}
    </>
  );
}
