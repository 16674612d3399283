import { existsSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { trialToPackage } from '@fairbed/files';
import { createBook, createPen, type Line } from '@fairbed/notebook';
import { type ScoreField, recordKinds, scoreThing, trialFrom } from '@fairbed/trial';
import { type CDPSession, chromium, type Page } from '@playwright/test';
import { build, preview } from 'vite';
import { median, type Row } from './timing';

const id = 'season';
const PLOTS = 30;
const PLANTS = 5;
const ROUNDS = 20;
const RUNS = 9;
const SLOWER = 4;

const treatments = ['t1', 't2', 't3', 't4', 't5'].map((treatment, i) => ({
  id: treatment,
  name: i === 0 ? 'Untreated' : `Spray ${i}`,
  kind: i === 0 ? 'untreated' : 'product',
}));

const layout = Array.from({ length: PLOTS }, (_, i) => ({
  plot: `p${i + 1}`,
  code: `K${i + 10}`,
  treatment: `t${(i % 5) + 1}`,
  block: String(Math.floor(i / 5) + 1),
  place: { bed: 'b1', x: (i % 5) * 1.4, y: Math.floor(i / 5) * 1.3, width: 1.2, height: 1 },
}));

const day = (round: number): string =>
  new Date(Date.UTC(2026, 4, 4 + round * 7)).toISOString().slice(0, 10);

const planned: readonly Line[] = [
  { kind: 'plan', thing: 'title', value: 'A whole season of chard' },
  { kind: 'plan', thing: 'treatments', value: treatments },
  { kind: 'plan', thing: 'control', value: 't1' },
  { kind: 'plan', thing: 'diseases', value: [{ id: 'spot', name: 'Leaf spot' }] },
  { kind: 'plan', thing: 'beds', value: [{ id: 'b1', name: 'Bed', width: 7, height: 8 }] },
  { kind: 'plan', thing: 'plantsPerPlot', value: PLANTS },
  { kind: 'plan', thing: 'stripping', value: 'all-diseased' },
  {
    kind: 'draw',
    thing: '1',
    value: {
      seed: 7,
      day: '2026-05-01',
      layout,
      request: { kind: 'randomised-blocks', treatments: treatments.map((t) => t.id), blocks: 6 },
    },
  },
];

const figures = (n: number): readonly (readonly [ScoreField, number])[] => [
  ['standing', 6 + (n % 12)],
  ['diseased', n % 5],
  ['stripped', n % 5],
  ['strippedDiseased', n % 5],
  ['severity', (n * 7) % 60],
  ['injury', n % 10],
  ['vigour', 60 + (n % 40)],
  ['stage', 10 + (n % 30)],
];

function scoresOf(round: number): readonly Line[] {
  return layout.flatMap(({ plot }, p) =>
    Array.from({ length: PLANTS }, (_, k) => String(k + 1)).flatMap((plant, k) =>
      figures(round * 31 + p * 7 + k * 3).map(([field, value]) => ({
        kind: 'score',
        thing: scoreThing({ round: `r${round}`, plot, plant, field }),
        value,
      })),
    ),
  );
}

/** 30 plots of 5 plants, 8 figures each at 20 rounds: 24,000 figures, as a data package. */
function seasonPackage(): Buffer {
  const book = createBook(recordKinds);
  let now = Date.UTC(2026, 4, 4, 6);
  const pen = createPen({ writer: 'season0001', who: () => 'Ana', now: () => (now += 1500), book });
  pen.writeAll(planned);
  for (let round = 1; round <= ROUNDS; round++) {
    const value = { day: day(round), done: round < ROUNDS };
    pen.writeAll([{ kind: 'round', thing: `r${round}`, value }]);
    for (const line of scoresOf(round)) pen.writeAll([line]);
  }
  const { trial } = trialFrom(id, book);
  return Buffer.from(trialToPackage(trial, { entries: book.entries() }));
}

/** Milliseconds from going to an address of the page to the moment that `selector` is painted. */
const goMs = (page: Page, hash: string, selector: string): Promise<number> =>
  page.evaluate(
    ([to, wanted]) =>
      new Promise<number>((resolve) => {
        const start = performance.now();
        const seen = (): void => {
          if (document.querySelector(wanted) === null) return;
          watch.disconnect();
          // A task behind the frame: what was found is on the screen by then.
          requestAnimationFrame(() => setTimeout(() => resolve(performance.now() - start)));
        };
        const watch = new MutationObserver(seen);
        watch.observe(document.body, { subtree: true, childList: true, attributes: true });
        location.hash = to;
        seen();
      }),
    [hash, selector] as const,
  );

type Way = 'rest' | 'leave';

/**
 * Milliseconds until the transaction that keeps a figure has ended: from the moment at which what was
 * typed is written, or from the tap that leaves the plant for the next, which is drawn meanwhile.
 */
const keepMs = (page: Page, way: Way): Promise<number> =>
  page.evaluate(
    (by) =>
      new Promise<number>((resolve) => {
        const own = Object.getOwnPropertyDescriptor(IDBDatabase.prototype, 'transaction');
        let start = 0;
        IDBDatabase.prototype.transaction = function (this: IDBDatabase, ...words) {
          const tx = (own?.value as IDBDatabase['transaction']).apply(this, words);
          if (words[1] === 'readwrite') {
            tx.addEventListener('complete', () => {
              if (own) Object.defineProperty(IDBDatabase.prototype, 'transaction', own);
              resolve(performance.now() - start);
            });
          }
          return tx;
        };
        start = performance.now();
        // A page that is put away writes at once what it would write after a moment's rest.
        if (by === 'rest') document.dispatchEvent(new Event('visibilitychange'));
        else document.querySelector<HTMLElement>('.thumb-bar .next')?.click();
      }),
    way,
  );

const plantField = 'input[aria-label="Standing leaves, leaves"]';

type Visit = { readonly page: Page; readonly cdp: CDPSession; readonly base: string };

async function repeated(once: () => Promise<number>): Promise<number> {
  const times: number[] = [];
  for (let run = 0; run < RUNS; run++) times.push(await once());
  return median(times);
}

const slow = ({ cdp }: Visit, rate: number): Promise<unknown> =>
  cdp.send('Emulation.setCPUThrottlingRate', { rate });

/** The shelf, at rest, without any book in memory; throttled from then on. */
async function freshShelf(visit: Visit): Promise<void> {
  const { page, base } = visit;
  await slow(visit, 1);
  await page.goto('about:blank');
  await page.goto(`${base}/#/`);
  await page.getByRole('button', { name: 'Plan a trial' }).waitFor();
  await page.waitForTimeout(300);
  await slow(visit, SLOWER);
}

async function coldMs({ page, base }: Visit): Promise<number> {
  await page.goto('about:blank');
  const start = performance.now();
  await page.goto(`${base}/#/score/${id}/r20/p3/1`, { waitUntil: 'commit' });
  await page.locator(plantField).waitFor();
  return performance.now() - start;
}

/** One more leaf by its button, and how long it takes to keep it. */
async function keepOne({ page }: Visit, way: Way): Promise<number> {
  const more = page.getByRole('button', { name: 'Standing leaves: one more' });
  await more.evaluate((button: HTMLElement) => button.click());
  const ms = await keepMs(page, way);
  await page.locator('.round-bar').getByText('Saved', { exact: true }).waitFor();
  await page.waitForTimeout(700);
  return ms;
}

async function historyMs({ page }: Visit): Promise<number> {
  await goMs(page, `#/score/${id}/r20/p3/1`, plantField);
  await page.waitForTimeout(300);
  return goMs(page, `#/history/${id}/plot/p3`, '.history-list');
}

async function oneFigureMs({ page }: Visit): Promise<number> {
  await goMs(page, `#/score/${id}/r20/p3/1`, plantField);
  await page.waitForTimeout(300);
  return goMs(
    page,
    `#/history/${id}/score/${encodeURIComponent('r20/p3/1//standing')}`,
    '.history-line',
  );
}

async function packageBytes({ page }: Visit): Promise<number> {
  await page.evaluate((to) => (location.hash = to), `#/share/${id}`);
  const saving = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save a back-up' }).click();
  return statSync(await (await saving).path()).size;
}

const row = (name: string, oursMs: number, mostMs?: number, note?: string): Row => ({
  name,
  oursMs,
  peerMs: null,
  ratio: null,
  ...(mostMs === undefined ? {} : { mostMs }),
  ...(note === undefined ? {} : { note }),
});

const size = (bytes: number): string =>
  `the back-up without photos has ${(bytes / 1e6).toFixed(2)} MB, of 1 MB at most`;

async function measure(visit: Visit): Promise<readonly Row[]> {
  const { page, base } = visit;
  await page.goto(`${base}/#/`);
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({ name: 'season.zip', mimeType: 'application/zip', buffer: seasonPackage() });
  await page.waitForURL(/#\/bed\//, { timeout: 60_000 });
  await page.waitForTimeout(2000);
  await slow(visit, SLOWER);
  const cold = await repeated(() => coldMs(visit));
  const open = await repeated(async () => {
    await freshShelf(visit);
    return goMs(page, `#/score/${id}/r20/p3/1`, plantField);
  });
  const keep = await repeated(() => keepOne(visit, 'rest'));
  const leave = await repeated(() => keepOne(visit, 'leave'));
  const history = await repeated(() => historyMs(visit));
  const figure = await repeated(() => oneFigureMs(visit));
  await slow(visit, 1);
  const bytes = await packageBytes(visit);
  return [
    row('the season opened at a plant, from the shelf', open, 600),
    row('the same with the page itself, from its address', cold),
    row('a figure kept on disk', keep, 20),
    row('the same by leaving for the next plant, which is drawn first', leave),
    row('the history of a plot with its five plants, 800 entries', history, 100),
    row('the history of one figure of a plant', figure, undefined, size(bytes)),
  ];
}

/** The Chromium named, else the system's, else the one Playwright brings; undefined without any. */
const chromiumHere = (): string | undefined =>
  [process.env['CHROMIUM_PATH'], '/usr/bin/chromium', chromium.executablePath()].find(
    (path) => path !== undefined && path !== '' && existsSync(path),
  );

/**
 * The season in the built app, in Chromium slowed down fourfold. No rows, and a sentence, where there
 * is no Chromium.
 */
export async function benchSeason(): Promise<readonly Row[]> {
  const executablePath = chromiumHere();
  if (executablePath === undefined) {
    console.log('Skipped: no Chromium here. On Debian: sudo apt-get install chromium');
    return [];
  }
  const outDir = mkdtempSync(join(tmpdir(), 'fairbed-season-'));
  const root = fileURLToPath(new URL('../app', import.meta.url));
  const at = { root, configFile: join(root, 'vite.config.ts'), logLevel: 'silent' } as const;
  await build({ ...at, build: { outDir, emptyOutDir: true } });
  const server = await preview({ ...at, build: { outDir }, preview: { port: 4199 } });
  const browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
  try {
    const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
    // What runs this file marks functions by a helper of its own, which the page does not have.
    await page.addInitScript('globalThis.__name ??= (made) => made');
    const cdp = await page.context().newCDPSession(page);
    const base = server.resolvedUrls?.local[0]?.replace(/\/$/, '') ?? '';
    return await measure({ page, cdp, base });
  } finally {
    await browser.close();
    await server.close();
    rmSync(outDir, { recursive: true, force: true });
  }
}
