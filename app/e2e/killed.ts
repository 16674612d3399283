import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type BrowserContext, chromium, type Page, type TestInfo } from '@playwright/test';

/** Works in a new profile folder, which is removed behind it. */
export async function inProfile(work: (folder: string) => Promise<void>): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'fairbed-profile-'));
  try {
    await work(folder);
  } finally {
    try {
      rmSync(folder, { recursive: true, force: true });
    } catch {
      // A browser that a failed test has left open still writes there: its own fault is told.
    }
  }
}

/** What runs in a browser and profile of its own is the same in either project: once will do. */
export const oneSize = '@laptop';

/** Chromium on a profile folder of its own, as the project launches it; what is kept stays there. */
export async function openProfile(folder: string, info: TestInfo) {
  const { baseURL, launchOptions } = info.project.use;
  const context = await chromium.launchPersistentContext(folder, {
    ...launchOptions,
    ...(baseURL === undefined ? {} : { baseURL }),
    viewport: { width: 390, height: 844 },
  });
  return { context, page: context.pages()[0] ?? (await context.newPage()) };
}

/** How to end every process of a browser at once, found out while it still runs. */
export async function killerOf(context: BrowserContext): Promise<() => Promise<void>> {
  const cdp = await context.browser()?.newBrowserCDPSession();
  if (cdp === undefined) throw new Error('This Chromium does not tell of its processes.');
  const { processInfo } = await cdp.send('SystemInfo.getProcessInfo');
  // The browser first: it would start what dies under it anew.
  const ids = processInfo
    .toSorted((a, b) => Number(b.type === 'browser') - Number(a.type === 'browser'))
    .map(({ id }) => id);
  return async () => {
    const ended = new Promise((resolve) => context.once('close', resolve));
    for (const id of ids) endProcess(id);
    await ended;
    // One that is still writing to the disk dies late, and holds the lock of the database till then:
    // nobody starts a browser anew so soon.
    while (ids.some(isAlive)) await new Promise((done) => setTimeout(done, 20));
  };
}

function isAlive(id: number): boolean {
  const stat = `/proc/${id}/stat`;
  try {
    process.kill(id, 0);
    // A process that is dead but not yet buried has let go of its files.
    return !existsSync(stat) || !/\) [ZX] /.test(readFileSync(stat, 'utf8'));
  } catch {
    return false;
  }
}

function endProcess(id: number): void {
  try {
    process.kill(id, 'SIGKILL');
  } catch {
    // Gone already, with the one that was killed before it.
  }
}

/** What one plant was given, and how far it had come. */
export type Told = {
  readonly n: number;
  readonly plot: string;
  readonly plant: string;
  readonly standing: number;
  readonly diseased: number;
  /** Being typed; left for the next plant; shown as saved. */
  readonly is: 'typed' | 'left' | 'saved';
};

export type Driving = {
  /** The number of the first plant; no number is given twice. */
  readonly from: number;
  /** Of so many plants one is not left until its figures are saved by resting. */
  readonly restEvery: number;
  /** The address of the plant to begin anew at, once the walk is at its end. */
  readonly start: string;
};

/**
 * Scores plant after plant by the screen's own fields and buttons, as fast as the screen allows, and
 * tells of each as it goes. It never ends: the browser is killed under it.
 */
export async function scoreOn(page: Page, driving: Driving): Promise<void> {
  await page.evaluate(async ({ from, restEvery, start }) => {
    const tell = (globalThis as unknown as { told: (what: Told) => Promise<void> }).told;
    const turn = (): Promise<void> => new Promise((done) => setTimeout(done));
    const until = async <T>(look: () => T | undefined | null | false): Promise<T> => {
      for (;;) {
        const seen = look();
        if (seen) return seen;
        await turn();
      }
    };
    const input = (name: string): HTMLInputElement | null =>
      document.querySelector(`input[aria-label="${name}, leaves"]`);
    const type = (name: string, value: number): void => {
      const field = input(name);
      if (field === null) throw new Error(`There is no field for ${name}.`);
      field.focus();
      // React looks for a change of the value behind its own back.
      Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')?.set?.call(
        field,
        String(value),
      );
      field.dispatchEvent(new Event('input', { bubbles: true }));
      field.blur();
    };
    const saved = (): boolean =>
      document.querySelector('.round-bar .soft')?.textContent === 'Saved';
    const next = (): HTMLButtonElement | null => document.querySelector('.thumb-bar .next');
    for (let n = from; ; n++) {
      await until(() => input('Standing leaves'));
      const here = location.hash;
      const [plot = '', plant = ''] = here.split('/').slice(-2);
      const figures = { n, plot, plant, standing: n % 1000, diseased: n % 7 };
      // Known outside before it can be on disk; the kill may swallow what is told later.
      await tell({ ...figures, is: 'typed' });
      type('Standing leaves', figures.standing);
      type('Diseased leaves', figures.diseased);
      if (n % restEvery === 0) {
        // Longer than the screen gathers a burst of taps.
        await new Promise((done) => setTimeout(done, 600));
        await until(saved);
        void tell({ ...figures, is: 'saved' });
      }
      next()?.click();
      void tell({ ...figures, is: 'left' });
      await until(
        () =>
          location.hash !== here &&
          (input('Standing leaves') ?? document.querySelector('.plot-list')),
      );
      await until(saved);
      void tell({ ...figures, is: 'saved' });
      if (document.querySelector('.plot-list')) location.hash = start;
    }
  }, driving);
}
