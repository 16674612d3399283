import { type Day, dayNumber } from '@fairbed/field';
import {
  beginText,
  closePath,
  endText,
  fill,
  fillAndStroke,
  lineTo,
  moveTo,
  PDFDocument,
  type PDFFont,
  type PDFName,
  type PDFOperator,
  type PDFPage,
  popGraphicsState,
  pushGraphicsState,
  rectangle,
  setDashPattern,
  setFillingGrayscaleColor,
  setFillingRgbColor,
  setFontAndSize,
  setLineWidth,
  setStrokingGrayscaleColor,
  setStrokingRgbColor,
  setTextMatrix,
  showText,
  StandardFonts,
  stroke,
} from 'pdf-lib';
import type { Ruler } from './fit-text';
import { type BoxesMark, black, type Ink, type Mark, type PathMark, type TextMark } from './ink';
import { writable } from './latin';
import { type Paper, paperSizes, pointsPerMillimetre } from './paper';

export type Press = {
  readonly ruler: Ruler;
  /** The text in letters that can be printed. */
  readonly write: (text: string) => string;
  /** True once a text had letters that can't be printed. */
  readonly hasRespelt: () => boolean;
  readonly print: (pages: readonly (readonly Mark[])[]) => Promise<Uint8Array>;
};

export type PressJob = { readonly title: string; readonly paper: Paper; readonly day: Day };

const dayLength = 86_400_000;

/** Hundredths of a point are finer than any printer and keep the file small. */
const points = (millimetres: number): number =>
  Math.round(millimetres * pointsPerMillimetre * 100) / 100;

const fillWith = (ink: Ink): PDFOperator =>
  typeof ink === 'number' ? setFillingGrayscaleColor(ink) : setFillingRgbColor(...ink);
const strokeWith = (ink: Ink): PDFOperator =>
  typeof ink === 'number' ? setStrokingGrayscaleColor(ink) : setStrokingRgbColor(...ink);

function pathOperators(mark: PathMark, height: number): PDFOperator[] {
  const { rings, closed, fill: filled, stroke: stroked, width = 0.25, dash } = mark;
  const outline = rings.flatMap((ring) => [
    ...ring.map(([x, y], i) => (i === 0 ? moveTo : lineTo)(points(x), points(height - y))),
    ...(closed ? [closePath()] : []),
  ]);
  const paint = filled === undefined ? stroke() : stroked === undefined ? fill() : fillAndStroke();
  return [
    pushGraphicsState(),
    ...(filled === undefined ? [] : [fillWith(filled)]),
    ...(stroked === undefined ? [] : [strokeWith(stroked), setLineWidth(points(width))]),
    ...(dash === undefined ? [] : [setDashPattern(dash.map(points), 0)]),
    ...outline,
    paint,
    popGraphicsState(),
  ];
}

const boxOperators = ({ boxes }: BoxesMark, height: number): PDFOperator[] => [
  fillWith(black),
  ...boxes.map((box) =>
    rectangle(
      points(box.x),
      points(height - box.y - box.height),
      points(box.width),
      points(box.height),
    ),
  ),
  fill(),
];

type Type = { readonly font: PDFFont; readonly key: PDFName; readonly width: number };

function textOperators(mark: TextMark, height: number, type: Type): PDFOperator[] {
  const { text, size, align = 'start', ink = black, upwards = false } = mark;
  const back = align === 'start' ? 0 : align === 'middle' ? type.width / 2 : type.width;
  const x = points(mark.x - (upwards ? 0 : back));
  const y = points(height - mark.y - (upwards ? back : 0));
  const [cosine, sine] = upwards ? [0, 1] : [1, 0];
  return [
    beginText(),
    fillWith(ink),
    setFontAndSize(type.key, size),
    setTextMatrix(cosine, sine, -sine, cosine, x, y),
    showText(type.font.encodeText(text)),
    endText(),
  ];
}

type Fonts = { readonly plain: PDFFont; readonly bold: PDFFont };

function putPage(page: PDFPage, marks: readonly Mark[], fonts: Fonts, ruler: Ruler): void {
  const height = page.getHeight() / pointsPerMillimetre;
  const keyOf = (font: PDFFont): PDFName => page.node.newFontDictionary(font.name, font.ref);
  const keys = { plain: keyOf(fonts.plain), bold: keyOf(fonts.bold) };
  const operators = marks.flatMap((mark) => {
    if (mark.kind === 'path') return pathOperators(mark, height);
    if (mark.kind === 'boxes') return boxOperators(mark, height);
    const face = mark.bold ? 'bold' : 'plain';
    const width = ruler(mark.text, mark.size, mark.bold);
    return textOperators(mark, height, { font: fonts[face], key: keys[face], width });
  });
  page.pushOperators(...operators);
}

function describe(pdf: PDFDocument, title: string, day: Day): void {
  const noon = new Date(dayNumber(day) * dayLength + dayLength / 2);
  pdf.setTitle(title);
  pdf.setCreator('Fairbed');
  pdf.setProducer('Fairbed');
  pdf.setCreationDate(noon);
  pdf.setModificationDate(noon);
  pdf.setLanguage('en-GB');
}

/**
 * Opens a PDF for a number of pages of one paper. The same marks on the same day give the same
 * bytes: dates come from `day`, nothing from a clock or chance. Type is Helvetica and its bold,
 * which every PDF reader has (ISO 32000-1, 9.6.2.2).
 */
export async function openPress({ title, paper, day }: PressJob): Promise<Press> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const fonts = {
    plain: pdf.embedStandardFont(StandardFonts.Helvetica),
    bold: pdf.embedStandardFont(StandardFonts.HelveticaBold),
  };
  const letters = new Set(fonts.plain.getCharacterSet());
  const ruler: Ruler = (text, size, bold = false) =>
    (bold ? fonts.bold : fonts.plain).widthOfTextAtSize(text, size) / pointsPerMillimetre;
  let respelt = false;
  const write = (text: string): string => {
    const written = writable(text, (letter) => letters.has(letter.codePointAt(0) ?? 0));
    respelt ||= written.changed;
    return written.text;
  };
  const print = (pages: readonly (readonly Mark[])[]): Promise<Uint8Array> => {
    describe(pdf, write(title), day);
    const [width, height] = paperSizes[paper].points;
    for (const marks of pages) putPage(pdf.addPage([width, height]), marks, fonts, ruler);
    return pdf.save();
  };
  return { ruler, write, hasRespelt: () => respelt, print };
}
