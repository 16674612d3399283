import { createRandom, type Random } from '@fairbed/stats';
import { type ScoreField, scoreThing } from '@fairbed/trial';
import { expect, type Page, test, type TestInfo } from '@playwright/test';
import { inProfile, killerOf, oneSize, openProfile, scoreOn, type Told } from './killed';
import { bringIn } from './makeBook';
import { bookFrom, storedEntries } from './stored';

const id = 'killed';
const second = { kind: 'round', thing: 'r2', value: { day: '2026-05-11' } } as const;
const start = `/#/score/${id}/r2/p1/1`;
/** Killed a hundred times in all; two halves, each in a profile of its own, go side by side. */
const half = 50;
/** At most so long after the first figure, in milliseconds. */
const longest = 900;

/** What was told before the kills, and what has been seen on disk. */
type Known = {
  /** Figures shown as saved, by their things. */
  readonly saved: Map<string, number>;
  /** The plant on the screen at the last kill whose figures were not shown as saved. */
  unsure?: Told | undefined;
  /** The plant that was told of last as saved. */
  last?: Told | undefined;
  /** As they are written, by their ids. */
  entries: ReadonlyMap<string, string>;
  /** Figures under way at a kill: on disk all the same; lost while typed; lost after they were left. */
  kept: number;
  typed: number;
  left: number;
};

const standingOn = (page: Page) =>
  page.getByRole('spinbutton', { name: 'Standing leaves, leaves' });

const scoresOf = (told: Told | undefined): readonly (readonly [thing: string, value: number])[] => {
  if (told === undefined) return [];
  const { plot, plant, standing, diseased } = told;
  const thing = (field: ScoreField): string => scoreThing({ round: 'r2', plot, plant, field });
  return [
    [thing('standing'), standing],
    [thing('diseased'), diseased],
    // The plan strips what is diseased, and the screen fills it in.
    [thing('stripped'), diseased],
  ];
};

const rest = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));

/** Waits for a moment of the seed: any moment, or just as a plant's figures are on their way. */
async function moment(random: Random, left: () => Promise<void>): Promise<void> {
  if (random.below(2) === 0) return rest(random.uniform() * longest);
  for (let plants = 1 + random.below(12); plants > 0; plants--) await left();
  return rest(random.uniform() * 12);
}

/** Opens the trial where it was left, sees that all is there, and scores until it is killed. */
async function scoreAndKill(info: TestInfo, folder: string, known: Known, random: Random) {
  const { context, page } = await openProfile(folder, info);
  const kill = await killerOf(context);
  const told: Told[] = [];
  let onLeft = (): void => undefined;
  await page.exposeFunction('told', (one: Told) => {
    told.push(one);
    if (one.is === 'left') onLeft();
  });
  const { last } = known;
  const address = last === undefined ? start : `/#/score/${id}/r2/${last.plot}/${last.plant}`;
  await page.goto(address, { waitUntil: 'commit' });
  if (random.below(10) === 0) {
    // While the page is being read and the trial opened.
    await rest(random.uniform() * longest);
    return kill();
  }
  await expectAllThere(page, known);
  const shown = known.saved.get(scoresOf(last)[0]?.[0] ?? '');
  await expect(standingOn(page)).toHaveValue(shown === undefined ? '' : String(shown));
  const from = Math.max(known.unsure?.n ?? 0, last?.n ?? 0) + 1;
  const driving = scoreOn(page, {
    from,
    restEvery: 5 + random.below(10),
    start: start.slice(1),
  });
  // It ends by the kill; a fault before that is the test's.
  await Promise.race([driving, moment(random, () => new Promise((done) => (onLeft = done)))]);
  driving.catch(() => undefined);
  await kill();
  known.unsure = undefined;
  take(told, known);
}

/** Sorts what the page told into what must be there and what was on its way. */
function take(told: readonly Told[], known: Known): void {
  for (const one of told) {
    known.unsure = one.is === 'saved' ? undefined : one;
    if (one.is !== 'saved') continue;
    known.last = one;
    for (const [thing, value] of scoresOf(one)) known.saved.set(thing, value);
  }
}

/** Everything ever seen on disk or shown as saved is there still; only of one plant may figures lack. */
async function expectAllThere(page: Page, known: Known): Promise<void> {
  // A browser may have thrown its database away: the page puts it back from the second copy first.
  await expect(standingOn(page)).toBeVisible();
  const entries = await storedEntries(page, id);
  const byId = new Map(entries.map((entry) => [entry.id, JSON.stringify(entry)]));
  expect(byId.size, 'no entry twice').toBe(entries.length);
  const gone = [...known.entries].filter(([entryId, text]) => byId.get(entryId) !== text);
  expect(gone, 'entries that were on disk').toEqual([]);
  known.entries = byId;
  const book = bookFrom(entries);
  const { unsure } = known;
  for (const [thing, value] of scoresOf(unsure)) {
    if (unsure === undefined || known.saved.get(thing) === value) continue;
    const there = book.current('score', thing) === value;
    known[there ? 'kept' : unsure.is === 'typed' ? 'typed' : 'left']++;
    if (there) known.saved.set(thing, value);
  }
  const wrong = [...known.saved].flatMap(([thing, value]) => {
    const now = book.current('score', thing);
    return now === value ? [] : [{ thing, value, now }];
  });
  expect(wrong, 'figures that were shown as saved').toEqual([]);
}

// A browser that is killed leaves half a trace; what to look at is in the steps.
test.use({ trace: 'off' });

for (const seed of [20261125, 31]) {
  test(
    `killed ${half} times while scoring, nothing shown as saved is lost (seed ${seed})`,
    { tag: oneSize },
    async ({}, info) => {
      test.setTimeout(600_000);
      const random = createRandom(seed);
      const known: Known = { saved: new Map(), entries: new Map(), kept: 0, typed: 0, left: 0 };
      await inProfile(async (folder) => {
        const first = await openProfile(folder, info);
        await bringIn(first.page, id, [second]);
        await first.context.close();
        for (let n = 0; n < half; n++) {
          await test.step(`kill ${n + 1}`, () => scoreAndKill(info, folder, known, random));
        }
        const { context, page } = await openProfile(folder, info);
        await page.goto(start);
        await expectAllThere(page, known);
        await expectGoesOn(page, known);
        await context.close();
      });
      const { entries, kept, typed, left } = known;
      console.log(
        `${entries.size} entries. Figures under way at a kill: ${kept} kept; lost: ${typed} being typed, ${left} just left`,
      );
    },
  );
}

/** After the last kill the trial opens, shows every plant that was scored, and takes another figure. */
async function expectGoesOn(page: Page, known: Known): Promise<void> {
  await page.goto(`/#/score/${id}/r2`);
  const scored = [...known.saved.keys()].filter((thing) => thing.endsWith('/standing')).length;
  const done = page.getByText(`${scored} of 80`, { exact: true });
  await expect(done).toBeVisible();
  await page.goto(start);
  await standingOn(page).fill('999');
  await standingOn(page).press('Enter');
  await page.locator('.thumb-bar .next').click();
  await expect(page.locator('.round-bar')).toContainText('Saved');
  const book = bookFrom(await storedEntries(page, id));
  const thing = scoreThing({ round: 'r2', plot: 'p1', plant: '1', field: 'standing' });
  expect(book.current('score', thing)).toBe(999);
}
