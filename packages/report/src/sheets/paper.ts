/** The two papers a garden printer has. */
export type Paper = 'a4' | 'letter';

export type PaperSize = {
  /** Millimetres, upright. */
  readonly width: number;
  readonly height: number;
  /** Points (1/72 inch) as a printer knows the paper: width, height. */
  readonly points: readonly [number, number];
};

/** A4 (ISO 216, 210 x 297 mm) and US Letter (8 1/2 x 11 inches). */
export const paperSizes: Readonly<Record<Paper, PaperSize>> = {
  a4: { width: 210, height: 297, points: [595.28, 841.89] },
  letter: { width: 215.9, height: 279.4, points: [612, 792] },
};

/** Points in a millimetre. */
export const pointsPerMillimetre = 72 / 25.4;

/** White round every sheet, millimetres: what common printers can't reach, and a thumb. */
export const margin = 10;
