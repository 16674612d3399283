import { styleOf, treatmentStyles } from '../marks';
import { arrange, type Plan } from './arrange';
import { capital, leading, textLines, wrap } from './fit-text';
import { type Head, type Laid, pageHead, withFeet } from './furniture';
import { type Ground, groundOf, type SheetBed } from './ground';
import type { Mark } from './ink';
import { type Dress, type PlotDress, pieceMarks, scaleMarks, scaleRoom } from './plan-marks';
import { openPress, type Press } from './press';
import { blindTexts, notesOf } from './blind';
import { faultOfPlots, refused, type Sheet, type SheetHead, type SheetPlot } from './sheet';
import { legend } from './legend';
import type { ScorerMapInput, SprayerMapInput } from './map-input';

type MapJob = {
  readonly input: SheetHead & { readonly beds: readonly SheetBed[] };
  readonly plots: readonly SheetPlot[];
  readonly head: Head;
  readonly dressOf: PlotDress;
  readonly walk: boolean;
  /** Smallest side of a plot aimed for, millimetres. */
  readonly side: number;
};

/** Room for the plan below what stands at the head of a page. */
const roomOf = ({ area }: Laid): { width: number; height: number } => ({
  width: area.width,
  height: area.height - scaleRoom,
});

/** The pages of a plan; the first has what `first` put at its head. */
function planPages(job: MapJob, ground: Ground, first: Laid, press: Press): Mark[][] {
  const other = pageHead(job.head, job.input, press);
  const laid = (page: number): Laid => (page === 0 ? first : other);
  const plan: Plan = arrange(ground, (page) => roomOf(laid(page)), { side: job.side });
  const drawing = { plots: job.plots, plan, press, dressOf: job.dressOf, walk: job.walk };
  return plan.pages.map((pieces, page) => {
    const { marks, area } = laid(page);
    const moved = pieces.map(({ piece, at }) => ({
      piece,
      at: { ...at, x: at.x + area.x, y: at.y + area.y },
    }));
    const bottom = Math.max(...moved.map(({ at }) => at.y + at.height));
    return [
      ...marks,
      ...moved.flatMap((placed) => pieceMarks(placed, area.x + area.width, drawing)),
      ...scaleMarks(plan, area.x, bottom + 7),
    ];
  });
}

/** A sentence under the head of a page. */
function withNote(laid: Laid, text: string, press: Press): Laid {
  const size = 9;
  const lines = wrap(press.write(text), laid.area.width, { size }, press.ruler);
  const height = (lines.length - 1) * leading(size) + capital(size) + 3;
  return {
    marks: [...laid.marks, ...textLines(lines, { x: laid.area.x, y: laid.area.y, size })],
    area: { ...laid.area, y: laid.area.y + height, height: laid.area.height - height },
  };
}

/**
 * Map for whoever scores: beds, paths and plots to scale with north and a scale bar, codes only,
 * numbered in walking order with a line from plot to plot. Where plots would be too small on one
 * page it goes on over several, bed by bed.
 */
export async function scorerMapPdf(input: ScorerMapInput): Promise<Sheet> {
  const { treatments = [], paper, day } = input;
  const problem = faultOfPlots(input.plots, treatments) ?? faultOfPlaces(input.plots);
  if (problem) return { ok: false, problem };
  const { title, garden, say, left } = blindTexts(input, treatments);
  const plots = input.plots.map((plot) =>
    plot.block === undefined ? plot : { ...plot, block: say(plot.block) },
  );
  const beds = input.beds.map((bed) => ({ ...bed, name: say(bed.name) ?? '' }));
  const press = await openPress({ title: `Map for the scorer ${title}`.trim(), paper, day });
  const head = { kind: 'Map for the scorer', title, garden };
  const job = { input, plots, head, dressOf: () => undefined, walk: true, side: 9 };
  const ground = groundOf(beds, plots);
  const text = ground.toScale
    ? 'Codes only. Small numbers and the grey line are the way to walk: start at 1.'
    : 'Codes only. Small numbers are the order to walk in: start at 1.';
  const first = withNote(pageHead(head, input, press), text, press);
  const pages = planPages(job, ground, first, press);
  const bytes = await press.print(withFeet(pages, paper, press));
  return { ok: true, bytes, notes: notesOf(left, press.hasRespelt()) };
}

/** A place of no size or beyond reason can't be drawn. */
function faultOfPlaces(plots: readonly SheetPlot[]) {
  const bad = plots.find(
    ({ place }) =>
      place !== undefined &&
      !(
        [place.x, place.y].every(Number.isFinite) &&
        [place.width, place.height].every((side) => side > 0 && side < 10_000)
      ),
  );
  if (!bad) return undefined;
  const sheet = refused(
    'no-size',
    `The place of plot ${bad.code} has no usable width, length or position.`,
    'Give its bed and size in metres, or leave the place out.',
  );
  return sheet.ok ? undefined : sheet.problem;
}

/** How every treatment is drawn, by id: numbered T1, T2 ... as the trial lists them. */
function dresses(input: SprayerMapInput): ReadonlyMap<string, Dress> {
  const styles = treatmentStyles(
    input.treatments.map(({ id }) => id),
    input.control ?? null,
  );
  let place = 0;
  return new Map(
    input.treatments.map(({ id, name }, i): [string, Dress] => [
      id,
      {
        name: name.trim() === '' ? id : name,
        key: `T${i + 1}`,
        style: styleOf(styles, id),
        place: id === input.control ? undefined : place++,
      },
    ]),
  );
}

/**
 * Map for whoever sprays: the same drawing with every plot's treatment by mark, hatching and name
 * (so that black and white will do), after a list of what goes where: active ingredient and rate
 * as they were entered, codes, area, and the cautions.
 */
export async function sprayerMapPdf(input: SprayerMapInput): Promise<Sheet> {
  const { plots, paper, day } = input;
  const problem = faultOfPlots(plots) ?? faultOfPlaces(plots);
  if (problem) return { ok: false, problem };
  const dressed = dresses(input);
  const stranger = plots.find(({ treatment }) => !dressed.has(treatment));
  if (stranger) {
    return refused(
      'no-treatment',
      `Plot ${stranger.code} has a treatment that is not in the list of treatments.`,
      'Draw the layout again or add the treatment.',
    );
  }
  const press = await openPress({ title: `Map for spraying: ${input.title}`, paper, day });
  const { title, garden = '' } = input;
  const head = { kind: 'Map for whoever sprays. Not for the scorer.', title, garden };
  const dressOf: PlotDress = (index) => dressed.get(plots[index]?.treatment ?? '');
  const job = { input, plots, head, dressOf, walk: false, side: 14 };
  const listed = legend({ input, dressed, page: () => pageHead(head, input, press), press });
  const ground = groundOf(input.beds, plots);
  const pages = joined(
    listed,
    (first) => planPages(job, ground, first, press),
    () => pageHead(head, input, press),
  );
  const bytes = await press.print(withFeet(pages, paper, press));
  return { ok: true, bytes, notes: notesOf([], press.hasRespelt()) };
}

/** The plan below the list where it fits there on what is left of the page, else on its own. */
function joined(
  listed: readonly Laid[],
  draw: (first: Laid) => Mark[][],
  fresh: () => Laid,
): Mark[][] {
  const before = listed.slice(0, -1).map((laid) => [...laid.marks]);
  const last = listed.at(-1);
  if (last && last.area.height > 90) {
    const here = draw(last);
    if (here.length === 1) return [...before, ...here];
  }
  return [...before, ...(last ? [[...last.marks]] : []), ...draw(fresh())];
}
