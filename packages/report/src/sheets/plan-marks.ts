import type { TreatmentStyle } from '../marks';
import { nameRoom, onPaper, type Placed, type Plan } from './arrange';
import { capital, fitText, heightOf, textLines, wrap } from './fit-text';
import { type Box, line, type Mark, type Point, rectangle, soft, white } from './ink';
import type { Press } from './press';
import type { SheetPlot } from './sheet';
import { hatch, symbol } from './symbol';

/** A treatment as it stands in a plot. `place` counts treatments that are not the control. */
export type Dress = {
  readonly name: string;
  /** Short for it where the name has no room: `T2`. */
  readonly key: string;
  readonly style: TreatmentStyle;
  readonly place: number | undefined;
};

export type PlotDress = (index: number) => Dress | undefined;

type Drawing = {
  readonly plots: readonly SheetPlot[];
  readonly plan: Plan;
  readonly press: Press;
  readonly dressOf: PlotDress;
  /** Numbers and a line from plot to plot in the order of the list. */
  readonly walk: boolean;
};

const middle = (box: Box): Point => [box.x + box.width / 2, box.y + box.height / 2];

/** Largest size at which a code fits a box, points; upright or turned, whichever is larger. */
function codeSize(code: string, box: Box, press: Press, most = 15) {
  const unit = press.ruler(code, 1, true);
  const along = (length: number, across: number): number =>
    Math.min(most, (length - 1.6) / unit, (across * 0.62) / capital(1));
  const level = along(box.width, box.height);
  const upright = along(box.height, box.width);
  return upright > level * 1.25
    ? { size: upright, upwards: true }
    : { size: Math.max(level, 2.5), upwards: false };
}

type Lettering = {
  readonly centre: Point;
  readonly size: number;
  readonly bold: boolean;
  readonly upwards: boolean;
};

/** A text on a white ground, so that no line crosses it. */
function plated(text: string, { centre, size, bold, upwards }: Lettering, press: Press): Mark[] {
  const [x, y] = centre;
  const half = capital(size) / 2;
  const wide = press.ruler(text, size, bold) / 2 + 0.7;
  const tall = half + 0.7;
  const [w, h] = upwards ? [tall, wide] : [wide, tall];
  const at = upwards ? { x: x + half, y } : { x, y: y + half };
  return [
    rectangle({ x: x - w, y: y - h, width: 2 * w, height: 2 * h }, { fill: white }),
    { kind: 'text', text, ...at, size, bold, align: 'middle', upwards },
  ];
}

function bareContent(code: string, box: Box, press: Press): Mark[] {
  const lettering = codeSize(code, box, press, 22);
  return plated(code, { ...lettering, centre: middle(box), bold: true }, press);
}

/** The name in full where it fits in a few lines of a legible size, else its short key. */
function nameLines(dress: Dress, room: { width: number; height: number }, press: Press) {
  const name = press.write(dress.name);
  for (const size of [9, 8, 7, 6]) {
    const lines = wrap(name, room.width, { size }, press.ruler);
    const isWhole = lines.join(' ') === name;
    if (isWhole && heightOf(lines.length, size) <= room.height) return { lines, size };
  }
  const { lines, size } = fitText(dress.key, room, { sizes: [9, 8, 7, 6, 5, 4] }, press.ruler);
  return { lines, size };
}

/** Code, mark and name over the hatching, each on a white ground so that it stays legible. */
function dressedContent(code: string, dress: Dress, box: Box, press: Press): Mark[] {
  const mark = Math.min(4.4, box.height * 0.3, box.width * 0.3);
  const headHeight = Math.max(mark, Math.min(5, box.height * 0.4));
  const free = { ...box, width: box.width - mark - 2.4, height: headHeight };
  const { size } = codeSize(code, { ...free, height: headHeight * 1.5 }, press);
  const wide = press.ruler(code, size, true);
  const room = { width: box.width - 2, height: box.height - headHeight - 3 };
  const name = nameLines(dress, room, press);
  const nameHeight = heightOf(name.lines.length, name.size);
  const top = box.y + (box.height - headHeight - 1.4 - nameHeight) / 2;
  const left = box.x + (box.width - mark - 1 - wide) / 2;
  const [centre] = middle(box);
  const nameWide = Math.max(...name.lines.map((text) => press.ruler(text, name.size)));
  const plate = (x: number, y: number, width: number, height: number): Mark =>
    rectangle({ x, y, width, height }, { fill: white });
  const headMiddle = top + headHeight / 2;
  return [
    ...(dress.place === undefined ? [] : hatch(box, dress.place)),
    plate(left - 0.6, top - 0.5, mark + wide + 2.2, headHeight + 1),
    plate(centre - nameWide / 2 - 0.6, top + headHeight + 0.6, nameWide + 1.2, nameHeight + 1.6),
    ...symbol(dress.style, [left + mark / 2, headMiddle], mark),
    {
      kind: 'text',
      text: code,
      x: left + mark + 1,
      y: headMiddle + capital(size) / 2,
      size,
      bold: true,
    },
    ...textLines(name.lines, {
      x: centre,
      y: top + headHeight + 1.4,
      size: name.size,
      align: 'middle',
    }),
  ];
}

function plotMarks(index: number, box: Box, drawing: Drawing): Mark[] {
  const { plots, press, dressOf, walk } = drawing;
  const code = press.write(plots[index]?.code ?? '');
  const dress = dressOf(index);
  const inner = {
    x: box.x + 0.3,
    y: box.y + 0.3,
    width: box.width - 0.6,
    height: box.height - 0.6,
  };
  if (dress) return dressedContent(code, dress, inner, press);
  if (!walk) return bareContent(code, inner, press);
  const size = Math.min(7.5, (box.height * 0.25) / capital(1), (box.width * 0.3) / capital(1));
  const tall = capital(size) + 0.8;
  const below = { ...inner, y: inner.y + tall, height: inner.height - tall };
  const number = { x: box.x + 0.8, y: box.y + 0.9, size, ink: soft };
  return [...bareContent(code, below, press), ...textLines([String(index + 1)], number)];
}

/** Grey line from plot to plot of one piece, as far as the list goes on within it. */
function walkLine(placed: Placed, drawing: Drawing): Mark[] {
  const boxes = new Map(
    placed.piece.plots.map(({ index, box }) => [index, onPaper(box, placed, drawing.plan)]),
  );
  const order = [...boxes.keys()].sort((a, b) => a - b);
  return order.flatMap((index) => {
    const [from, to] = [boxes.get(index), boxes.get(index + 1)];
    return from && to ? [line([middle(from), middle(to)], { stroke: 0.72, width: 0.5 })] : [];
  });
}

/** Beside a bed where its name meets no other bed: above, below, or within its upper edge. */
function bedName(box: Box, name: string, others: readonly Box[], press: Press): Mark[] {
  const { lines, size } = fitText(
    press.write(name),
    { width: Math.max(box.width, 24), height: 3 },
    { sizes: [9, 8, 7, 6, 5] },
    press.ruler,
  );
  const wide = press.ruler(lines[0] ?? '', size);
  const tall = capital(size) + 1.6;
  const spots = [box.y - tall, box.y + box.height + 0.4];
  const isFree = (y: number): boolean =>
    others.every(
      (b) => b.x > box.x + wide || b.x + b.width < box.x || b.y > y + tall || b.y + b.height < y,
    );
  const y = spots.find(isFree) ?? box.y;
  const plate = rectangle({ x: box.x, y, width: wide + 1, height: tall }, { fill: white });
  return [plate, ...textLines(lines, { x: box.x + 0.4, y: y + 0.8, size })];
}

const blockedMarks = (placed: Placed, { plan }: Drawing): Mark[] =>
  placed.piece.blocked.flatMap(({ box, why }) => {
    const on = onPaper(box, placed, plan);
    return [
      rectangle(on, { fill: white, stroke: soft, width: 0.2, dash: [1, 1] }),
      ...(why === 'unusable' ? crossed(on) : []),
    ];
  });

/** What can't be planted is named where the word has room. */
const blockedWords = (placed: Placed, { plan, press }: Drawing): Mark[] =>
  placed.piece.blocked.flatMap(({ box, why }) => {
    const on = onPaper(box, placed, plan);
    const word = why === 'path' ? 'path' : 'not used';
    const upwards = on.height > on.width;
    const [long, high] = upwards ? [on.height, on.width] : [on.width, on.height];
    const size = [8, 7, 6, 5].find(
      (points) => press.ruler(word, points) <= long - 2 && capital(points) <= high - 1.6,
    );
    if (size === undefined) return [];
    return plated(word, { centre: middle(on), size, bold: false, upwards }, press);
  });

const crossed = ({ x, y, width, height }: Box): Mark[] =>
  (
    [
      [
        [x, y],
        [x + width, y + height],
      ],
      [
        [x, y + height],
        [x + width, y],
      ],
    ] as const
  ).map((points) => line(points, { stroke: 0.6, width: 0.2 }));

/** A piece of ground: beds in grey, what can't be planted, plots, the walk, names. */
export function pieceMarks(placed: Placed, width: number, drawing: Drawing): Mark[] {
  const { piece, at } = placed;
  const { plan, press } = drawing;
  const beds = piece.beds.map(({ box, name }) => ({ name, box: onPaper(box, placed, plan) }));
  const plots = piece.plots.map(({ index, box }) => ({ index, box: onPaper(box, placed, plan) }));
  const title = fitText(
    press.write(piece.name),
    { width: width - at.x, height: 4 },
    { sizes: [10, 9, 8, 7, 6] },
    press.ruler,
  );
  const names =
    piece.name === ''
      ? beds.flatMap(({ box, name }, i) =>
          bedName(
            box,
            name,
            beds.filter((_, k) => k !== i).map((bed) => bed.box),
            press,
          ),
        )
      : textLines(title.lines, { x: at.x, y: at.y - nameRoom + 2.6, size: title.size });
  return [
    ...beds.map(({ box }) => rectangle(box, { fill: 0.9, stroke: 0, width: 0.3 })),
    ...blockedMarks(placed, drawing),
    ...plots.map(({ box }) => rectangle(box, { fill: white, stroke: 0, width: 0.35 })),
    // A plan without places says nothing of the way between them.
    ...(drawing.walk && plan.scale !== undefined ? walkLine(placed, drawing) : []),
    ...blockedWords(placed, drawing),
    ...plots.flatMap(({ index, box }) => plotMarks(index, box, drawing)),
    ...names,
  ];
}

const barLengths = [0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200];

/** Scale bar, scale in words and north; a plan without places says so instead. */
export function scaleMarks(plan: Plan, x: number, y: number): Mark[] {
  if (plan.scale === undefined) {
    const text = 'Not to scale: the places of the plots were not given.';
    return [{ kind: 'text', text, x, y: y + 3, size: 9 }];
  }
  const metres = barLengths.find((length) => length * plan.perMetre >= 25) ?? 200;
  const end = x + metres * plan.perMetre;
  const words = `${metres} m. Scale 1 : ${plan.scale} when printed at full size.`;
  const north = x + 130;
  const arrow: Point[] = plan.turned
    ? [
        [north, y + 2],
        [north + 9, y + 2],
      ]
    : [
        [north + 3, y + 6],
        [north + 3, y - 3],
      ];
  const head: Point[] = plan.turned
    ? [
        [north + 6.5, y + 0.5],
        [north + 9, y + 2],
        [north + 6.5, y + 3.5],
      ]
    : [
        [north + 1.5, y - 0.5],
        [north + 3, y - 3],
        [north + 4.5, y - 0.5],
      ];
  return [
    line(
      [
        [x, y],
        [x, y + 3],
        [end, y + 3],
        [end, y],
      ],
      { width: 0.4 },
    ),
    { kind: 'text', text: words, x: end + 3, y: y + 3, size: 9 },
    line(arrow, { width: 0.5 }),
    line(head, { width: 0.5 }),
    { kind: 'text', text: 'north', x: north + (plan.turned ? 11 : 6), y: y + 3, size: 9 },
  ];
}
/** Height the scale bar takes below a plan, millimetres. */
export const scaleRoom = 12;
