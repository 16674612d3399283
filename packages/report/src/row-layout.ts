import type { Lane } from './axis';
import { lineHeight, thumb, type } from './frame';
import { textWidth, wrapText } from './text';

export type ChartRow = {
  readonly name: string;
  readonly nameLines: readonly string[];
  readonly figureLines: readonly string[];
  readonly top: number;
  readonly height: number;
  /** Middle of the first line of the name, and of the first line of the figure. */
  readonly nameY: number;
  readonly figureY: number;
  /** Middle of the strip that the data is drawn on. */
  readonly stripY: number;
};

export type RowLayout = {
  readonly rows: readonly ChartRow[];
  /** Ends of the strips. */
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  /** Where grid lines may run: beside text, never through it. */
  readonly lanes: readonly Lane[];
  /** True where name and figure stand above the strip (a phone), not beside it. */
  readonly stacked: boolean;
};

const markRoom = 26;
const stackedBelow = 620;
const edge = 10;
const gap = 16;
const stripHalf = 15;

/**
 * Places the rows of a chart that has one treatment a row: name, strip, figure. On a narrow sheet
 * name and figure stand above the strip. Every row is at least a thumb high, no text is cut.
 */
export function rowLayout(
  entries: readonly { readonly name: string; readonly figure: string }[],
  width: number,
  top: number,
): RowLayout {
  return width < stackedBelow ? stackedRows(entries, width, top) : besideRows(entries, width, top);
}

function stackedRows(
  entries: readonly { readonly name: string; readonly figure: string }[],
  width: number,
  top: number,
): RowLayout {
  const line = lineHeight(type.label);
  const inner = width - 2 * edge;
  let y = top;
  const rows = entries.map(({ name, figure }): ChartRow => {
    const oneLine = markRoom + textWidth(name, type.label) + gap + textWidth(figure, type.label);
    const shares = oneLine <= inner;
    const nameLines = wrapText(name, inner - markRoom, type.label);
    const figureLines = wrapText(figure, inner - markRoom, type.label);
    const textHeight = shares ? line : line * (nameLines.length + figureLines.length);
    const nameY = y + 8 + line / 2;
    const row = {
      name,
      nameLines,
      figureLines,
      top: y,
      height: Math.max(thumb, textHeight + 10 + 2 * stripHalf + 4),
      nameY,
      figureY: shares ? nameY : nameY + nameLines.length * line,
      stripY: y + textHeight + 10 + stripHalf,
    };
    y += row.height;
    return row;
  });
  const lanes = rows.map(({ stripY }) => ({ top: stripY - stripHalf, bottom: stripY + stripHalf }));
  return { rows, lanes, left: edge + 10, right: width - edge - 10, bottom: y, stacked: true };
}

function besideRows(
  entries: readonly { readonly name: string; readonly figure: string }[],
  width: number,
  top: number,
): RowLayout {
  const line = lineHeight(type.label);
  const widest = (texts: string[]): number =>
    Math.max(0, ...texts.map((text) => textWidth(text, type.label)));
  const nameRoom = Math.min(widest(entries.map((e) => e.name)), width * 0.28);
  const figureRoom = Math.min(widest(entries.map((e) => e.figure)), width * 0.28);
  let y = top;
  const rows = entries.map(({ name, figure }): ChartRow => {
    const nameLines = wrapText(name, nameRoom + 1, type.label);
    const figureLines = wrapText(figure, figureRoom + 1, type.label);
    const lines = Math.max(nameLines.length, figureLines.length);
    const height = Math.max(thumb, lines * line + 10);
    const middle = y + height / 2;
    const firstOf = (count: number): number => middle - ((count - 1) * line) / 2;
    const row = { name, nameLines, figureLines, top: y, height, stripY: middle };
    y += height;
    return { ...row, nameY: firstOf(nameLines.length), figureY: firstOf(figureLines.length) };
  });
  return {
    rows,
    lanes: [{ top, bottom: y + 6 }],
    left: edge + markRoom + nameRoom + gap + 4,
    right: width - edge - figureRoom - gap - 4,
    bottom: y,
    stacked: false,
  };
}

/** Where the texts of a row begin. */
export const rowText = { markX: edge + 8, nameX: edge + markRoom, edge } as const;
