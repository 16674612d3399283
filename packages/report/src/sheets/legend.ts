import type { Treatment } from '@fairbed/trial';
import { capital, heightOf, leading, textLines, wrap } from './fit-text';
import type { Area, Laid } from './furniture';
import { line, type Mark, rectangle, white } from './ink';
import type { SprayerMapInput } from './map-input';
import type { Dress } from './plan-marks';
import type { Press } from './press';
import { hatch, symbol } from './symbol';

/** Before anybody mixes anything. */
export const cautions: readonly string[] = [
  'The label and the law come first. Use a product only on this crop, at the rate, as often and as long before harvest as its label allows. Where this sheet and the label differ, the label is right.',
  'Wear the protective equipment the label asks for, when mixing too.',
  'Spray in calm air. Shield the plots beside the one you spray. Rinse between treatments, away from wells and drains.',
  'Write down day, time, plots and amount. Keep everybody out until the re-entry time on the label has passed.',
  'Keep this sheet away from whoever scores, and do not leave it at the bed.',
];

const rateText = ({ rate }: Treatment): string =>
  rate === undefined ? 'not entered' : `${rate.amount} ${rate.unit}`.trim();

/** What to do with the plots of a treatment, as it was entered. */
function orders(treatment: Treatment): string {
  const { kind, activeIngredient, practice, cultivar, rate } = treatment;
  const spray = `Active ingredient: ${activeIngredient ?? 'not entered'}. Rate: ${rateText(treatment)}.`;
  const isSpray = activeIngredient !== undefined || rate !== undefined;
  switch (kind) {
    case 'untreated':
      return 'Spray nothing on these plots.';
    case 'water-only':
      return `Water only${rate === undefined ? '' : `, ${rateText(treatment)}`}. Nothing else in the tank.`;
    case 'adjuvant-only':
      return `Adjuvant only. ${spray}`;
    case 'practice':
      return `Practice: ${practice ? `${practice.what}: ${practice.value}` : 'not entered'}.${isSpray ? ` ${spray}` : ''}`;
    case 'cultivar':
      return `Cultivar: ${cultivar ?? 'not entered'}.${isSpray ? ` ${spray}` : ''}`;
    case 'product':
    case 'unstated':
      return spray;
  }
}

/** Square metres of the plots, where every one's place is known. */
function areaText(plots: SprayerMapInput['plots']): string {
  const areas = plots.map(({ place }) => (place ? place.width * place.height : Number.NaN));
  const total = areas.reduce((sum, area) => sum + area, 0);
  return Number.isFinite(total) && total > 0 ? `, ${Math.round(total * 100) / 100} m\u00b2` : '';
}

type Row = { readonly lines: readonly Line[]; readonly dress: Dress | undefined };
type Line = { readonly text: string; readonly size: number; readonly bold?: boolean };

const swatch = { width: 15, height: 9 };
const indent = swatch.width + 3;

/** What is said of every treatment, before it is broken into lines. */
function rowsOf(input: SprayerMapInput, dressed: ReadonlyMap<string, Dress>): Row[] {
  return input.treatments.map((treatment) => {
    const dress = dressed.get(treatment.id);
    const own = input.plots.filter((plot) => plot.treatment === treatment.id);
    const count = `${own.length} ${own.length === 1 ? 'plot' : 'plots'}${areaText(own)}`;
    const codes = own.map((plot) => plot.code).join(', ');
    const note = treatment.note ? ` Note: ${treatment.note}` : '';
    const lines = [
      { text: `${dress?.key ?? ''} ${dress?.name ?? treatment.id}`, size: 11, bold: true },
      { text: `${orders(treatment)}${note}`, size: 9.5 },
      { text: codes === '' ? 'No plot.' : `${count}: ${codes}`, size: 9.5 },
    ];
    return { lines, dress };
  });
}

const between = 1.6;

const heightOfLines = (lines: readonly Line[]): number =>
  lines.reduce((sum, { size }, i) => sum + (i === 0 ? capital(size) : leading(size)), 0);

function wrapped(texts: readonly Line[], width: number, press: Press): Line[] {
  return texts.flatMap(({ text, ...style }) =>
    wrap(press.write(text), width, style, press.ruler).map((so) => ({ text: so, ...style })),
  );
}

function rowMarks({ lines, dress }: Row, area: Area): Mark[] {
  let { y } = area;
  const texts = lines.map(({ text, size, bold = false }, i): Mark => {
    y += i === 0 ? capital(size) : leading(size);
    return { kind: 'text', text, x: area.x + (dress ? indent : 0), y, size, bold };
  });
  if (!dress) return texts;
  const box = { x: area.x, y: area.y, ...swatch };
  const centre = [box.x + box.width / 2, box.y + box.height / 2] as const;
  return [
    rectangle(box, { fill: white }),
    ...(dress.place === undefined ? [] : hatch(box, dress.place)),
    rectangle({ x: centre[0] - 3, y: centre[1] - 3, width: 6, height: 6 }, { fill: white }),
    rectangle(box, { stroke: 0, width: 0.3 }),
    ...symbol(dress.style, centre, 4.6),
    ...texts,
  ];
}

function cautionMarks(laid: Laid, press: Press): Laid {
  const size = 9;
  const { area } = laid;
  const marks: Mark[] = [];
  let y = area.y + 3;
  for (const [i, caution] of cautions.entries()) {
    const lines = wrap(press.write(caution), area.width - 12, { size }, press.ruler);
    marks.push(
      ...textLines([`${i + 1}.`], { x: area.x + 3, y, size, bold: true }),
      ...textLines(lines, { x: area.x + 8, y, size }),
    );
    y += heightOf(lines.length, size) + 2;
  }
  const height = y - area.y + 1;
  const frame = rectangle({ ...area, height }, { stroke: 0, width: 0.5 });
  return {
    marks: [...laid.marks, frame, ...marks],
    area: { ...area, y: area.y + height + 5, height: area.height - height - 5 },
  };
}

/** Cautions, then every treatment with what was entered and its plots; as many pages as needed. */
export function legend(job: {
  readonly input: SprayerMapInput;
  readonly dressed: ReadonlyMap<string, Dress>;
  readonly page: () => Laid;
  readonly press: Press;
}): Laid[] {
  const { input, dressed, page, press } = job;
  const pages: Laid[] = [cautionMarks(page(), press)];
  for (const { lines: texts, dress } of rowsOf(input, dressed)) {
    const width = (pages[0]?.area.width ?? 0) - indent;
    let lines = wrapped(texts, width, press);
    while (lines.length > 0) {
      const last = pages.at(-1) ?? page();
      const fits = lines.filter((_, i) => heightOfLines(lines.slice(0, i + 1)) <= last.area.height);
      const isFresh = last.area.height >= page().area.height;
      // A treatment begins on a page that holds it whole, unless no page does.
      if (fits.length < lines.length && !isFresh) {
        pages.push(page());
        continue;
      }
      const marks = rowMarks({ lines: fits, dress }, last.area);
      const height = Math.max(heightOfLines(fits), dress ? swatch.height : 0) + between;
      const rule = line(
        [
          [last.area.x, last.area.y + height],
          [last.area.x + last.area.width, last.area.y + height],
        ],
        { stroke: 0.7, width: 0.15 },
      );
      const used = height + between + 1;
      pages[pages.length - 1] = {
        marks: [...last.marks, ...marks, rule],
        area: { ...last.area, y: last.area.y + used, height: last.area.height - used },
      };
      lines = lines.slice(fits.length);
    }
  }
  return pages;
}
