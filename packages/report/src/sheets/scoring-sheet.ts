import { fitText, heightOf, textLines, wrap } from './fit-text';
import { type Area, type Laid, pageHead, withFeet } from './furniture';
import { type Box, line, type Mark, rectangle, soft } from './ink';
import { openPress, type Press } from './press';
import { blindTexts, notesOf } from './blind';
import { faultOfPlots, refused, type Sheet, type SheetHead, type SheetPlot } from './sheet';

export type ScoringSheetInput = SheetHead & {
  /** In walking order; a plot without plants gets one row for the whole of it. */
  readonly plots: readonly (SheetPlot & { readonly plants?: readonly string[] | undefined })[];
  /** Names of the diseases scored: a pair of columns each. None: one pair without a name. */
  readonly diseases?: readonly string[] | undefined;
  /** Names that must not be on this sheet: a title or garden with one of them is left out. */
  readonly treatments?: readonly string[] | undefined;
};

/** Room for a pen in wet hands, millimetres. */
const rowHeight = 8;
const mostDiseases = 3;
const noteWidth = 30;

type Column = { readonly head: string; readonly width: number };

/** Plot and plant, then what is counted; the width left over is for notes. */
function columnsOf(diseases: readonly string[], width: number): Column[] {
  const pairs = diseases.length === 0 ? [''] : diseases;
  const counted = [
    'Standing',
    ...pairs.flatMap((name) => [`Diseased ${name}`.trim(), `Severity % ${name}`.trim()]),
    'Stripped',
    'Lost, why',
  ];
  const labels = [
    { head: 'Plot', width: 22 },
    { head: 'Plant', width: 15 },
  ];
  const each = Math.min(24, (width - 37 - noteWidth) / counted.length);
  const columns = [...labels, ...counted.map((head) => ({ head, width: each }))];
  const used = columns.reduce((sum, column) => sum + column.width, 0);
  return [...columns, { head: 'Note', width: width - used }];
}

const instructions =
  'Count leaves before you strip. Standing: leaves on the plant. Diseased: of those, leaves with the disease. Severity: percent of the whole leaf area diseased. Stripped: leaves you take off now. Lost: leaves gone since the last round, and why (storm, pest, other disease, age, harvest, accident, unknown). A dash means not scored; a nought means none.';

/** What the scorer fills in once for a round, and what the columns mean. */
function opening(laid: Laid, press: Press): Laid {
  const { area } = laid;
  const size = 8;
  const fields = ['Date', 'Scored by', 'Round'];
  const each = area.width / fields.length;
  const blanks = fields.flatMap((field, i): Mark[] => {
    const x = area.x + i * each;
    const from = x + press.ruler(field, 10) + 2;
    const y = area.y + 5;
    return [
      { kind: 'text', text: field, x, y, size: 10 },
      line(
        [
          [from, y + 0.5],
          [x + each - 4, y + 0.5],
        ],
        { width: 0.25 },
      ),
    ];
  });
  const lines = wrap(instructions, area.width, { size }, press.ruler);
  const used = 9 + heightOf(lines.length, size) + 3.5;
  return {
    marks: [...laid.marks, ...blanks, ...textLines(lines, { x: area.x, y: area.y + 9, size })],
    area: { ...area, y: area.y + used, height: area.height - used },
  };
}

function headRow(columns: readonly Column[], area: Area, press: Press): Mark[] {
  const height = headHeight;
  let { x } = area;
  return columns.flatMap(({ head, width }) => {
    const box: Box = { x, y: area.y, width, height };
    x += width;
    const room = { width: width - 2, height: height - 2 };
    const fit = fitText(
      press.write(head),
      room,
      { sizes: [9, 8, 7, 6, 5], bold: true },
      press.ruler,
    );
    const y = box.y + height - 1.4 - heightOf(fit.lines.length, fit.size);
    return [
      rectangle(box, { fill: 0.92, stroke: 0, width: 0.3 }),
      ...textLines(fit.lines, { x: box.x + 1, y, size: fit.size, bold: true }),
    ];
  });
}
const headHeight = 11;

type Line = { readonly code: string; readonly plant: string; readonly opens: boolean };

function inCell(text: string, box: Box, bold: boolean, press: Press): Mark[] {
  const room = { width: box.width - 2, height: box.height - 1 };
  const sizes = [13, 11, 9, 7, 6, 5, 4];
  const { lines, size } = fitText(press.write(text), room, { sizes, bold }, press.ruler);
  const y = box.y + (box.height - heightOf(lines.length, size)) / 2;
  return textLines(lines, { x: box.x + 1, y, size, bold });
}

/** One plant; a heavy line above the first of a plot. */
function rowMarks(
  row: Line,
  columns: readonly Column[],
  area: Area,
  y: number,
  press: Press,
): Mark[] {
  let { x } = area;
  const boxes = columns.map(({ width }): Box => {
    const box = { x, y, width, height: rowHeight };
    x += width;
    return box;
  });
  const [plot, plant] = boxes;
  const heavy = line(
    [
      [area.x, y],
      [area.x + area.width, y],
    ],
    { width: 0.7 },
  );
  return [
    ...boxes.map((box) => rectangle(box, { stroke: soft, width: 0.2 })),
    ...(row.opens ? [heavy] : []),
    ...(plot ? inCell(row.code, plot, true, press) : []),
    ...(plant ? inCell(row.plant, plant, false, press) : []),
  ];
}

/** Rows of every page: a plot stays together where a page can hold it. */
function parted(plots: ScoringSheetInput['plots'], rowsOn: (page: number) => number): Line[][] {
  const pages: Line[][] = [[]];
  for (const { code, plants } of plots) {
    const names = plants && plants.length > 0 ? plants : ['all'];
    const free = rowsOn(pages.length - 1) - (pages.at(-1)?.length ?? 0);
    if (names.length > free && (names.length <= rowsOn(pages.length) || free < 1)) pages.push([]);
    names.forEach((plant, i) => {
      if ((pages.at(-1)?.length ?? 0) >= rowsOn(pages.length - 1)) pages.push([]);
      pages.at(-1)?.push({ code, plant, opens: i === 0 || pages.at(-1)?.length === 0 });
    });
  }
  return pages;
}

/**
 * A blank sheet for pen and paper, for the day the phone fails: codes and plants in walking order,
 * with columns for standing, diseased, severity, stripped and lost leaves, and notes. Codes only.
 */
export async function scoringSheetPdf(input: ScoringSheetInput): Promise<Sheet> {
  const { plots, diseases = [], treatments = [], paper, day } = input;
  const problem = faultOfPlots(plots, treatments);
  if (problem) return { ok: false, problem };
  if (diseases.length > mostDiseases) {
    return refused(
      'many-diseases',
      `A sheet has room for ${mostDiseases} diseases; ${diseases.length} were asked for.`,
      'Print one sheet for some of them and another for the rest.',
    );
  }
  const { title, garden, left } = blindTexts(input, treatments);
  const press = await openPress({ title: `Scoring sheet ${title}`.trim(), paper, day });
  const head = { kind: 'Scoring sheet', title, garden };
  const first = opening(pageHead(head, input, press), press);
  const other = pageHead(head, input, press);
  const laid = (page: number): Laid => (page === 0 ? first : other);
  const rowsOn = (page: number): number =>
    Math.floor((laid(page).area.height - headHeight) / rowHeight);
  const pages = parted(plots, rowsOn).map((rows, page) => {
    const { marks, area } = laid(page);
    const columns = columnsOf(diseases, area.width);
    const top = area.y + headHeight;
    return [
      ...marks,
      ...headRow(columns, area, press),
      ...rows.flatMap((row, i) => rowMarks(row, columns, area, top + i * rowHeight, press)),
    ];
  });
  const bytes = await press.print(withFeet(pages, paper, press));
  return { ok: true, bytes, notes: notesOf(left, press.hasRespelt()) };
}
