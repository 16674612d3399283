import { createHash } from 'node:crypto';
import { trialToPackage } from '@fairbed/files';
import { createBook, createPen, type Json, type Line } from '@fairbed/notebook';
import { recordKinds, scoreThing, trialFrom } from '@fairbed/trial';
import { expect, type Page } from '@playwright/test';

const codes = 'K7F M3X P9T W4H C6R D2N E8K F5J G3P H9W J4T A7X N6C R2E T8D X5G'.split(' ');
const treatments = [
  { id: 'U', name: 'Untreated', kind: 'untreated' },
  { id: 'W', name: 'Water only', kind: 'water-only' },
  {
    id: 'K',
    name: 'Potassium bicarbonate',
    kind: 'product',
    activeIngredient: 'potassium bicarbonate',
  },
  { id: 'S', name: 'Wide spacing', kind: 'practice' },
];
const orders = ['UWKS', 'KUSW', 'SKWU', 'WSUK'];

/** Four treatments in four blocks of an invented garden, five plants a plot. */
export const layout = codes.map((code, i) => {
  const block = Math.floor(i / 4);
  return {
    plot: `p${i + 1}`,
    code,
    treatment: orders[block]?.[i % 4] ?? 'U',
    block: String(block + 1),
    place: { bed: 'b1', x: (i % 4) * 1.5, y: block * 1.5, width: 1.2, height: 1.2 },
  };
});

const planned: readonly Line[] = [
  { kind: 'plan', thing: 'title', value: 'Invented: rocket, four ways' },
  { kind: 'plan', thing: 'treatments', value: treatments },
  { kind: 'plan', thing: 'control', value: 'U' },
  { kind: 'plan', thing: 'diseases', value: [{ id: 'rust', name: 'White rust' }] },
  { kind: 'plan', thing: 'beds', value: [{ id: 'b1', name: 'Long bed', width: 6, height: 6 }] },
  { kind: 'plan', thing: 'plantsPerPlot', value: 5 },
  { kind: 'plan', thing: 'stripping', value: 'all-diseased' },
  {
    kind: 'plan',
    thing: 'rounds',
    value: { count: 4, everyDays: 7, firstDay: '2026-05-04' },
  },
  {
    kind: 'draw',
    thing: '1',
    value: {
      seed: 7,
      day: '2026-05-01',
      layout,
      request: { kind: 'randomised-blocks', treatments: ['U', 'W', 'K', 'S'], blocks: 4 },
    },
  },
  { kind: 'round', thing: 'r1', value: { day: '2026-05-04' } },
];

/** What was counted on a plant in the first round: made up, and never the same on two neighbours. */
export const counted = (plot: number, plant: number) => ({
  standing: 9 + ((plot + plant) % 4),
  diseased: (plot * plant) % 3,
});

const scored = (): Line[] =>
  layout.flatMap(({ plot }, i) =>
    [1, 2, 3, 4, 5].flatMap((plant) => {
      const { standing, diseased } = counted(i, plant);
      const at = { round: 'r1', plot, plant: String(plant) };
      const line = (field: 'standing' | 'diseased' | 'stripped', value: Json): Line => ({
        kind: 'score',
        thing: scoreThing({ ...at, field }),
        value,
      });
      return [line('standing', standing), line('diseased', diseased), line('stripped', diseased)];
    }),
  );

/** A made-up book as a data package: planned, drawn, one round scored; and whatever `more` says. */
export function makeBookPackage(id: string, more: readonly Line[] = []): Buffer {
  const book = createBook(recordKinds);
  let now = Date.UTC(2026, 4, 4, 9);
  const pen = createPen({ writer: 'madeup0001', who: () => 'Ana', now: () => (now += 1000), book });
  pen.writeAll([...planned, ...scored(), ...more]);
  const { trial } = trialFrom(id, book);
  return Buffer.from(trialToPackage(trial, { entries: book.entries() }));
}

/** SHA-256 as a stake of proof: equal packages have equal ones. */
export const hashOf = (bytes: Uint8Array): string =>
  createHash('sha256').update(bytes).digest('hex');

/** Brings a made-up book in as a file, as a second device would. */
export async function bringIn(page: Page, id: string, more: readonly Line[] = []): Promise<void> {
  await page.goto('/');
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({
      name: `${id}.zip`,
      mimeType: 'application/zip',
      buffer: makeBookPackage(id, more),
    });
  await expect(page).toHaveURL(/#\/(bed|trial|plan)\//);
}
