import { blockText } from '../bed-plots';
import { capital, fitText, heightOf, type Ruler, textLines } from './fit-text';
import { type Box, line, type Mark, type Point, soft } from './ink';
import { paperSizes, pointsPerMillimetre } from './paper';
import { openPress, type Press } from './press';
import { type QrSquare, qrMark, qrSquare } from './qr';
import { blindTexts, notesOf, respeltNote } from './blind';
import { faultOfPlots, refused, type Sheet, type SheetHead, type SheetPlot } from './sheet';

export type StakesInput = SheetHead & {
  /** In the order the stakes are to come out, best the walking order. */
  readonly plots: readonly SheetPlot[];
  /** What scanning the stake opens. */
  readonly urlOf: (code: string) => string;
  /** Names that must not be on a stake: a title or garden with one of them is left out. */
  readonly treatments?: readonly string[] | undefined;
  /** Words on the sheet, where English ones won't do. */
  readonly labels?: Partial<StakeLabels> | undefined;
};

export type StakeLabels = {
  /** Between a plot's number and how many there are: `7 of 16`. */
  readonly of: string;
  readonly foot: string;
};

const english: StakeLabels = {
  of: 'of',
  foot: 'Cut along the dashed lines. Keep each card dry in a clear bag and staple it to a stake at the edge of its plot, facing the path.',
};

/** One size of card on both papers, millimetres: two across and four down. */
const card = { width: 92, height: 62 };
const across = 2;
const down = 4;
const inset = 4;
const qrSide = 37;
/** Narrowest module a phone reads at arm's length from a wet card, millimetres. */
const finestModule = 0.7;
const codeHeight = 17;

type Stake = { readonly plot: SheetPlot; readonly number: number; readonly qr: QrSquare };
type Words = StakeLabels & {
  readonly title: string;
  readonly garden: string;
  readonly count: number;
};

/** A code as large as the card holds: its capitals at most 17 mm high, which is read from afar. */
function codeMark(code: string, box: Box, ruler: Ruler): Mark {
  const tallest = (codeHeight / 0.72) * pointsPerMillimetre;
  const size = Math.min(tallest, (tallest * (box.width - 2 * inset)) / ruler(code, tallest, true));
  const y = box.y + inset + (codeHeight + capital(size)) / 2;
  return {
    kind: 'text',
    text: code,
    x: box.x + box.width / 2,
    y,
    size,
    bold: true,
    align: 'middle',
  };
}

const between = 3.2;

/** Block, number, title and garden, one under another beside the QR, within the card. */
function details(stake: Stake, box: Box, words: Words, press: Press): Mark[] {
  const { plot, number } = stake;
  const block = plot.block === undefined ? '' : blockText(plot.block).replace(/^b/, 'B');
  const parts = [
    { text: block, height: 11, sizes: [18, 15, 12, 9, 7], bold: true },
    { text: `${number} ${words.of} ${words.count}`, height: 5, sizes: [14, 11], bold: false },
    { text: words.title, height: 8, sizes: [9, 8, 7, 6], bold: false },
    { text: words.garden, height: 5, sizes: [8, 7, 6], bold: false },
  ];
  let { y } = box;
  return parts.flatMap(({ text, height, sizes, bold }) => {
    const left = box.y + box.height - y;
    if (text === '' || left < capital(sizes.at(-1) ?? 6)) return [];
    const room = { width: box.width, height: Math.min(height, left) };
    const { lines, size } = fitText(press.write(text), room, { sizes, bold }, press.ruler);
    const marks = textLines(lines, { x: box.x, y, size, bold });
    y += heightOf(lines.length, size) + between;
    return marks;
  });
}

function stakeMarks(stake: Stake, box: Box, words: Words, press: Press): Mark[] {
  const top = box.y + inset + codeHeight + 2;
  const square = { x: box.x + inset - 1, y: top, width: qrSide, height: qrSide };
  const beside = box.x + inset + qrSide + 1;
  const room = {
    x: beside,
    y: top + 3,
    width: box.x + box.width - inset - beside,
    height: box.y + card.height - inset / 2 - (top + 3),
  };
  return [
    codeMark(press.write(stake.plot.code), box, press.ruler),
    qrMark(stake.qr, square),
    ...details(stake, room, words, press),
  ];
}

/** Dashed lines between and round the cards, reaching a little beyond them. */
function cutLines(x: number, y: number, columns: number, rows: number): Mark[] {
  const beyond = 4;
  const dash = { width: 0.2, stroke: soft, dash: [1.6, 1.2] };
  const right = x + columns * card.width + beyond;
  const bottom = y + rows * card.height + beyond;
  const upright = Array.from({ length: columns + 1 }, (_, i): Point[] => [
    [x + i * card.width, y - beyond],
    [x + i * card.width, bottom],
  ]);
  const level = Array.from({ length: rows + 1 }, (_, i): Point[] => [
    [x - beyond, y + i * card.height],
    [right, y + i * card.height],
  ]);
  return [...upright, ...level].map((points) => line(points, dash));
}

function stakePage(
  stakes: readonly Stake[],
  input: StakesInput,
  words: Words,
  press: Press,
): Mark[] {
  const size = paperSizes[input.paper];
  const left = (size.width - across * card.width) / 2;
  const top = 9;
  const rows = Math.ceil(stakes.length / across);
  const columns = Math.min(across, stakes.length);
  const marks = stakes.flatMap((stake, i) => {
    const x = left + (i % across) * card.width;
    const y = top + Math.floor(i / across) * card.height;
    return stakeMarks(stake, { x, y, ...card }, words, press);
  });
  const says = press.hasRespelt() ? `${words.foot} ${respeltNote}` : words.foot;
  const room = { width: across * card.width, height: 7 };
  const foot = fitText(press.write(says), room, { sizes: [8, 7, 6] }, press.ruler);
  return [
    ...cutLines(left, top, columns, rows),
    ...marks,
    ...textLines(foot.lines, {
      x: left,
      y: top + rows * card.height + 6,
      size: foot.size,
      ink: soft,
    }),
  ];
}

const chunks = <T>(items: readonly T[], size: number): T[][] =>
  Array.from({ length: Math.ceil(items.length / size) }, (_, i) =>
    items.slice(i * size, (i + 1) * size),
  );

/**
 * Stakes to cut out, eight on a sheet: the code in capitals of 17 mm where it is short (from
 * 1.5 m, larger than the 1/200 of the distance that signs are made by), a QR whose text is the
 * plot's link, its block and number. No treatment is known here, so none can be printed; a title
 * that names one is left out and said in `notes`. Same input, same bytes.
 */
export async function stakesPdf(input: StakesInput): Promise<Sheet> {
  const { plots, treatments = [], paper, day } = input;
  const problem = faultOfPlots(plots, treatments);
  if (problem) return { ok: false, problem };
  const { title, garden, say, left } = blindTexts(input, treatments);
  const stakes: Stake[] = [];
  for (const [i, plot] of plots.entries()) {
    const qr = qrSquare(input.urlOf(plot.code), qrSide, finestModule);
    if (!qr) {
      return refused(
        'long-link',
        `The link of plot ${plot.code} is too long for a QR code on a stake.`,
        'Shorten the address Fairbed is opened from, or print without a link.',
      );
    }
    const block = plot.block === undefined ? undefined : say(plot.block);
    stakes.push({ plot: { ...plot, block }, number: i + 1, qr });
  }
  const press = await openPress({
    title: title === '' ? 'Stakes' : `Stakes: ${title}`,
    paper,
    day,
  });
  const words: Words = { ...english, ...input.labels, title, garden, count: plots.length };
  const pages = chunks(stakes, across * down).map((page) => stakePage(page, input, words, press));
  const bytes = await press.print(pages);
  return { ok: true, bytes, notes: notesOf(left, press.hasRespelt()) };
}
