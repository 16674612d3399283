import type { TextMark } from './ink';
import { pointsPerMillimetre } from './paper';

/** Width of a text in millimetres at a type size in points. */
export type Ruler = (text: string, size: number, bold?: boolean) => number;

/** Distance of base lines, millimetres. */
export const leading = (size: number): number => (size * 1.2) / pointsPerMillimetre;
/** Height of a capital, millimetres (0.72 of the size in Helvetica). */
export const capital = (size: number): number => (size * 0.72) / pointsPerMillimetre;

type Style = { readonly size: number; readonly bold?: boolean };

function breakWord(word: string, fits: (text: string) => boolean): string[] {
  const pieces: string[] = [];
  let piece = '';
  for (const letter of word) {
    if (piece !== '' && !fits(piece + letter)) {
      pieces.push(piece);
      piece = '';
    }
    piece += letter;
  }
  return piece === '' ? pieces : [...pieces, piece];
}

/** Lines no wider than `width` millimetres; a word longer than a line is broken, none is cut off. */
export function wrap(text: string, width: number, style: Style, ruler: Ruler): string[] {
  const fits = (so: string): boolean => ruler(so, style.size, style.bold) <= width;
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (fits(longer)) {
      line = longer;
      continue;
    }
    if (line !== '') lines.push(line);
    const pieces = breakWord(word, fits);
    lines.push(...pieces.slice(0, -1));
    line = pieces.at(-1) ?? '';
  }
  return line === '' ? lines : [...lines, line];
}

export type Fitted = {
  readonly lines: readonly string[];
  readonly size: number;
  /** True where even the smallest size could not hold all; the last line then ends in dots. */
  readonly cut: boolean;
};
type Room = { readonly width: number; readonly height: number };

/** A text in a box, in the largest of the sizes (points, falling) at which it fits. */
export function fitText(
  text: string,
  room: Room,
  { sizes, bold = false }: { readonly sizes: readonly number[]; readonly bold?: boolean },
  ruler: Ruler,
): Fitted {
  let lines: string[] = [];
  let size = sizes[0] ?? 9;
  for (size of sizes) {
    lines = wrap(text, room.width, { size, bold }, ruler);
    if (heightOf(lines.length, size) <= room.height) return { lines, size, cut: false };
  }
  const most = Math.max(1, Math.floor((room.height - capital(size)) / leading(size) + 1.0001));
  const kept = lines.slice(0, most);
  const dots = '...';
  let last = kept.pop() ?? '';
  while (last !== '' && ruler(last + dots, size, bold) > room.width) last = last.slice(0, -1);
  return { lines: [...kept, last.trimEnd() + dots], size, cut: true };
}

/** Height of so many lines from the top of the first capital to the last base line, millimetres. */
export const heightOf = (lines: number, size: number): number =>
  lines === 0 ? 0 : capital(size) + (lines - 1) * leading(size);

/** Lines one under another; `y` is the top of the first line's capitals. */
export const textLines = (
  lines: readonly string[],
  at: Omit<TextMark, 'kind' | 'text'>,
): TextMark[] =>
  lines.map((text, i) => ({
    kind: 'text',
    ...at,
    text,
    y: at.y + capital(at.size) + i * leading(at.size),
  }));
