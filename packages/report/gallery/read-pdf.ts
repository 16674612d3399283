import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import jsqr from 'jsqr';
import {
  decodePDFRawStream,
  PDFArray,
  PDFDocument,
  PDFRawStream,
  PDFRef,
  StandardFonts,
} from 'pdf-lib';

// jsqr is a CommonJS bundle: its function is the default of its default in Node.
const decode = ((jsqr as { default?: unknown }).default ?? jsqr) as (
  ...picture: [Uint8ClampedArray, number, number]
) => { readonly data: string } | null;

/** Reads PDFs back as another program would: poppler's tools where they are, pdf-lib always. */
export const hasPoppler = ['pdftotext', 'pdftoppm'].every(
  (tool) => spawnSync(tool, ['-v'], { stdio: 'ignore' }).error === undefined,
);
export const withoutPoppler =
  'SKIPPED without poppler (Debian: apt-get install poppler-utils); pdf-lib reads the text instead';

function withFile<T>(bytes: Uint8Array, use: (file: string, folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), 'fairbed-sheet-'));
  try {
    const file = join(folder, 'sheet.pdf');
    writeFileSync(file, bytes);
    return use(file, folder);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Text by pdftotext, page after page. */
export const popplerPages = (bytes: Uint8Array): string[] =>
  withFile(bytes, (file) =>
    execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' })
      .split('\f')
      .slice(0, -1),
  );

const winAnsi = new TextDecoder('windows-1252');

export type ShownText = {
  readonly text: string;
  /** Points from the lower left corner of the page. */
  readonly x: number;
  readonly y: number;
  /** Points along the line of writing. */
  readonly width: number;
  readonly upwards: boolean;
};

const shown = /\/(Helvetica\S*) (\S+) Tf\s+(\S+) (\S+) \S+ \S+ (\S+) (\S+) Tm\s+<([0-9A-F]*)> Tj/gi;

/** Texts of every page with their places, by decoding the page's own drawing commands. */
export async function shownTexts(bytes: Uint8Array): Promise<ShownText[][]> {
  const ruler = await PDFDocument.create();
  const plain = ruler.embedStandardFont(StandardFonts.Helvetica);
  const bold = ruler.embedStandardFont(StandardFonts.HelveticaBold);
  return (await commands(bytes)).map((drawn) =>
    [...drawn.matchAll(shown)].map(([, font = '', size, , sine, x, y, hex = '']) => {
      const text = winAnsi.decode(Buffer.from(hex, 'hex'));
      const face = font.startsWith('Helvetica-Bold') ? bold : plain;
      const width = face.widthOfTextAtSize(text, Number(size));
      return { text, x: Number(x), y: Number(y), width, upwards: Number(sine) === 1 };
    }),
  );
}

export const pageTexts = async (bytes: Uint8Array): Promise<string[][]> =>
  (await shownTexts(bytes)).map((page) => page.map(({ text }) => text));

/** The drawing commands of every page, unpacked. */
async function commands(bytes: Uint8Array): Promise<string[]> {
  const pdf = await PDFDocument.load(bytes, { updateMetadata: false });
  return pdf.getPages().map((page) => {
    const contents = page.node.Contents();
    const streams = contents instanceof PDFArray ? contents.asArray() : [contents];
    const drawn = streams.map((stream) => {
      const raw = stream instanceof PDFRef ? pdf.context.lookup(stream) : stream;
      return raw instanceof PDFRawStream
        ? Buffer.from(decodePDFRawStream(raw).decode()).toString('latin1')
        : '';
    });
    return drawn.join('\n');
  });
}

/** Everything in the file with every stream unpacked, hex texts included: to search for a name. */
export async function allBytes(bytes: Uint8Array): Promise<string> {
  const pdf = await PDFDocument.load(bytes, { updateMetadata: false });
  const objects = pdf.context.enumerateIndirectObjects().map(([, object]) => {
    if (!(object instanceof PDFRawStream)) return object.toString();
    return `${object.dict.toString()}${Buffer.from(decodePDFRawStream(object).decode()).toString('latin1')}`;
  });
  const raw = Buffer.from(bytes).toString('latin1');
  const all = [raw, ...objects].join('\n');
  const hex = [...all.matchAll(/<([0-9A-F\s]+)>/gi)].map((found) => Buffer.from(found[1], 'hex'));
  const told = hex.flatMap((text) => [text.toString('latin1'), utf16(text)]);
  const info = [pdf.getTitle(), pdf.getAuthor(), pdf.getSubject(), pdf.getKeywords()];
  return [all, ...told, ...info.map((text) => text ?? '')].join('\n');
}

const utf16 = (text: Buffer): string =>
  new TextDecoder('utf-16be').decode(text.subarray(0, text.length - (text.length % 2)));

export async function pageSizes(bytes: Uint8Array): Promise<[number, number][]> {
  const pdf = await PDFDocument.load(bytes, { updateMetadata: false });
  return pdf.getPages().map((page) => [page.getWidth(), page.getHeight()]);
}

export type Picture = {
  readonly width: number;
  readonly height: number;
  readonly grey: Uint8Array;
};

/** A page as grey pixels, by pdftoppm. */
export const pagePicture = (bytes: Uint8Array, page: number, dotsPerInch: number): Picture =>
  withFile(bytes, (file, folder) => {
    const to = join(folder, 'page');
    const which = ['-f', String(page), '-l', String(page), '-singlefile'];
    execFileSync('pdftoppm', ['-gray', '-r', String(dotsPerInch), ...which, file, to]);
    return readGrey(readFileSync(`${to}.pgm`));
  });

function readGrey(file: Buffer): Picture {
  const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(file.subarray(0, 60).toString('latin1'))!;
  return { width: Number(head[1]), height: Number(head[2]), grey: file.subarray(head[0].length) };
}

/** The part of a picture in a box of pixels. */
export function part(
  picture: Picture,
  x: number,
  y: number,
  width: number,
  height: number,
): Picture {
  const grey = new Uint8Array(width * height);
  for (let row = 0; row < height; row++) {
    const from = (y + row) * picture.width + x;
    grey.set(picture.grey.subarray(from, from + width), row * width);
  }
  return { width, height, grey };
}

/** The text of a QR code in a picture, by a reader that did not write it. */
export function qrText({ width, height, grey }: Picture): string | undefined {
  const pixels = new Uint8ClampedArray(width * height * 4).fill(255);
  grey.forEach((value, i) => pixels.fill(value, i * 4, i * 4 + 3));
  return decode(pixels, width, height)?.data;
}
