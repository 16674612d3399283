import type { Day } from '@fairbed/field';
import { fitText, heightOf, textLines } from './fit-text';
import { line, type Mark, soft } from './ink';
import { margin, paperSizes } from './paper';
import type { Press } from './press';
import { respeltNote } from './blind';
import type { SheetHead } from './sheet';

const months = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ');

/** `4 May 2026`. */
export function dayText(day: Day): string {
  const [year = '', month = '', dayOfMonth = ''] = day.split('-');
  return `${Number(dayOfMonth)} ${months[Number(month) - 1] ?? ''} ${year}`;
}

export type Head = {
  /** What the sheet is: `Map for the scorer`. */
  readonly kind: string;
  readonly title: string;
  readonly garden: string;
};

/** Room between head and foot of a page, millimetres. */
export type Area = {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
};

/** A page so far, and the room left on it. */
export type Laid = { readonly marks: readonly Mark[]; readonly area: Area };

/** Head of a page: what it is, of which trial, where and when. Returns the room left below it. */
export function pageHead(
  head: Head,
  { paper, day }: Pick<SheetHead, 'paper' | 'day'>,
  press: Press,
): Laid {
  const size = paperSizes[paper];
  const width = size.width - 2 * margin;
  const where = [head.garden, `printed ${dayText(day)}`].filter((part) => part !== '').join(', ');
  const parts = [
    { text: head.kind, height: 6, sizes: [16], bold: true, after: 2.5 },
    { text: head.title, height: 11, sizes: [12, 10, 9, 8], bold: false, after: 2 },
    { text: where, height: 7, sizes: [9, 8, 7], bold: false, after: 2 },
  ];
  let y = margin;
  const marks = parts.flatMap(({ text, height, sizes, bold, after }): Mark[] => {
    if (text === '') return [];
    const fit = fitText(press.write(text), { width, height }, { sizes, bold }, press.ruler);
    const lines = textLines(fit.lines, { x: margin, y, size: fit.size, bold });
    y += heightOf(fit.lines.length, fit.size) + after;
    return lines;
  });
  const rule = line(
    [
      [margin, y],
      [margin + width, y],
    ],
    { width: 0.3 },
  );
  const area = { x: margin, y: y + 4, width, height: size.height - margin - 6 - (y + 4) };
  return { marks: [...marks, rule], area };
}

/** Foot of every page: its number, and what was spelt otherwise. */
export function withFeet(
  pages: readonly (readonly Mark[])[],
  paper: SheetHead['paper'],
  press: Press,
): Mark[][] {
  const { width, height } = paperSizes[paper];
  const y = height - margin;
  return pages.map((marks, i) => [
    ...marks,
    {
      kind: 'text',
      text: `${i + 1} of ${pages.length}`,
      x: width - margin,
      y,
      size: 8,
      align: 'end',
      ink: soft,
    },
    {
      kind: 'text',
      text: press.hasRespelt() ? `Fairbed. ${respeltNote}` : 'Fairbed',
      x: margin,
      y,
      size: 8,
      ink: soft,
    },
  ]);
}
