import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { type ScoreField, scoreThing, type Trial } from '@fairbed/trial';
import { judge } from '@fairbed/verdict';
import { expect, type Page, test } from '@playwright/test';
import { bringBackupIn, goOffline, nameDevice, readBackup, saveBackup, setDay } from './devices';
import { answerTheRest, planFourByFour, write } from './plan-steps';
import { readSentence } from './sheets';

const days = ['2026-05-04', '2026-05-11'] as const;
const named = /skim|bicarbonate|plain water|untreated/i;

/** One figure that a thumb or a key has entered, on one of the two devices. */
type Typed = { readonly by: string; readonly thing: string; readonly value: number };

/** Plans the trial with two rounds, two plants a plot; draws and seals it. Gives its id. */
async function planAndSeal(page: Page): Promise<string> {
  await planFourByFour(page);
  await answerTheRest(page);
  await write(page, 'Rounds of scoring', '2');
  await write(page, 'First round', days[0]);
  await write(page, 'Plants scored in each plot', '2');
  await page.getByRole('button', { name: 'Draw the layout' }).press('Enter');
  await expect(page.getByRole('list', { name: 'Every draw' }).getByRole('listitem')).toHaveCount(1);
  await page.getByRole('button', { name: 'Seal the plan' }).press('Enter');
  await expect(page.getByTestId('seal-hash')).toHaveText(/^[0-9a-f]{64}$/);
  return /#\/plan\/([0-9a-z]+)$/.exec(page.url())?.[1] ?? '';
}

/** Prints the stakes and reads them back: every code, no treatment. */
async function printStakes(page: Page, id: string, trial: Trial): Promise<void> {
  await page.goto(`/#/stakes/${id}`);
  const saving = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Make the stakes' }).press('Enter');
  const path = await (await saving).path();
  const text = execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' });
  for (const { code } of trial.plots) expect(text).toContain(code);
  expect(text).not.toMatch(named);
}

/** What grows on a plant: made up, with less disease on what is sprayed. */
function leavesOf(trial: Trial, code: string, plant: string, round: number) {
  const at = trial.plots.findIndex((plot) => plot.code === code);
  const kind = trial.treatments.findIndex(({ id }) => id === trial.plots[at]?.treatment);
  const spread = (at * 5 + Number(plant) * 3 + round * 2) % 3;
  return {
    standing: 12 + ((at + Number(plant)) % 4),
    diseased: Math.max(0, 6 - 2 * kind) + spread,
  };
}

type Scoring = {
  readonly by: string;
  readonly trial: Trial;
  readonly round: number;
  /** Standing leaves entered in place of what grows there, on the first plant. */
  readonly firstStanding?: number;
};

/** Enters a figure by its field, as a keyboard does. */
async function enter(page: Page, name: string, value: number): Promise<void> {
  const field = page.getByRole('spinbutton', { name: `${name}, leaves` });
  await field.fill(String(value));
  await field.press('Enter');
}

/** Scores so many plants from the one on the screen on; gives what was entered. */
async function scorePlants(page: Page, plants: number, scoring: Scoring): Promise<Typed[]> {
  const { by, trial, round, firstStanding } = scoring;
  const typed: Typed[] = [];
  for (let n = 0; n < plants; n++) {
    const heading = page.getByRole('heading', { level: 1 });
    await expect(heading).toHaveText(/Plot \w+, plant \d/);
    const said = await heading.innerText();
    const [, code = '', plant = ''] =
      /Plot (\w+), plant (\d)/.exec(said.replace(/\s+/g, ' ')) ?? [];
    await expect(page.locator('main')).not.toContainText(named);
    const grown = leavesOf(trial, code, plant, round);
    const standing = n === 0 ? (firstStanding ?? grown.standing) : grown.standing;
    await enter(page, 'Standing leaves', standing);
    await enter(page, 'Diseased leaves', grown.diseased);
    const plot = trial.plots.find((one) => one.code === code)?.id ?? '';
    const [, roundId = ''] = /#\/score\/[^/]+\/([^/]+)/.exec(page.url()) ?? [];
    const thing = (field: ScoreField) => scoreThing({ round: roundId, plot, plant, field });
    typed.push(
      { by, thing: thing('standing'), value: standing },
      { by, thing: thing('diseased'), value: grown.diseased },
      // The plan strips what is diseased: the screen fills it in.
      { by, thing: thing('stripped'), value: grown.diseased },
    );
    const next = page.locator('.thumb-bar .next');
    await next.click();
    await expect(heading).not.toHaveText(said);
  }
  await expect(page.locator('.round-bar')).toContainText('Saved');
  return typed;
}

/** Begins the round of today and goes to a plot by its place in the walk. */
async function goToPlot(page: Page, id: string, place: number): Promise<void> {
  await page.goto(`/#/bed/${id}`);
  const begin = page.getByRole('button', { name: 'Begin a round' });
  const goOn = page.getByRole('link', { name: 'Go on with the round of today' });
  await begin.or(goOn).first().click();
  const plots = page.getByRole('list', { name: 'Plots in walking order' }).getByRole('link');
  await expect(plots).toHaveCount(16);
  await plots.nth(place).click();
}

/** Both devices take in what the other has; what each page says of it. */
async function merge(ana: Page, ben: Page, id: string): Promise<readonly [string, string]> {
  const [fromAna, fromBen] = [await saveBackup(ana, id), await saveBackup(ben, id)];
  return [await bringBackupIn(ana, id, fromBen), await bringBackupIn(ben, id, fromAna)];
}

// Two minutes long, so once, at the size that is taken into the garden.
test('a trial from the plan to the verdict: two devices without a network, one clash', {
  tag: '@phone',
}, async ({ browser }) => {
  test.setTimeout(240_000);
  const contexts = [await browser.newContext(), await browser.newContext()] as const;
  for (const context of contexts) await context.clock.install({ time: '2026-05-01T09:00:00' });
  const [ana, ben] = [await contexts[0].newPage(), await contexts[1].newPage()];
  const onDay = (day: string) => Promise.all(contexts.map((context) => setDay(context, day)));

  const id = await planAndSeal(ana);
  const first = await saveBackup(ana, id);
  const { trial } = readBackup(first);
  expect(trial.plots).toHaveLength(16);
  await printStakes(ana, id, trial);
  await goOffline(ana);
  await goOffline(ben);
  await ben
    .locator('input[type=file]')
    .first()
    .setInputFiles({
      name: 'trial.zip',
      mimeType: 'application/zip',
      buffer: readFileSync(first),
    });
  await expect(ben).toHaveURL(new RegExp(`#/bed/${id}$`));
  await nameDevice(ana, id, 'Ana');
  await nameDevice(ben, id, 'Ben');

  const typed: Typed[] = [];
  for (const [i, day] of days.entries()) {
    await onDay(day);
    const round = i + 1;
    await goToPlot(ana, id, 0);
    typed.push(...(await scorePlants(ana, 16, { by: 'Ana', trial, round })));
    if (round === 1) {
      // Both count the first plant, and differ by one leaf.
      const counted = typed[0]?.value ?? 0;
      await goToPlot(ben, id, 0);
      const firstStanding = counted + 1;
      typed.push(...(await scorePlants(ben, 1, { by: 'Ben', trial, round, firstStanding })));
    }
    await goToPlot(ben, id, 8);
    typed.push(...(await scorePlants(ben, 16, { by: 'Ben', trial, round })));
    const said = await merge(ana, ben, id);
    for (const words of said) {
      expect(words).toContain('Nothing was overwritten.');
      if (round === 1) expect(words).toContain('Entries clash about 1 thing');
      else expect(words).not.toContain('clash');
    }
    if (round === 1) await settleClash(ana, ben, id, typed);
  }
  await expectAllTyped(ana, ben, id, typed);
  await revealAndJudge(ana, id);
});

/** The clash is shown in the history of either device; one of the two figures is chosen. */
async function settleClash(ana: Page, ben: Page, id: string, typed: readonly Typed[]) {
  const value = typed[0]?.value ?? 0;
  for (const page of [ben, ana]) {
    await page.goto(`/#/history/${id}`);
    const clash = page.getByRole('region', { name: 'Which of the two is right?' });
    await expect(clash.getByRole('heading', { level: 3 })).toHaveText(/^Standing leaves, plot \w+/);
    await expect(clash).toContainText('by Ana');
    await expect(clash).toContainText('by Ben');
    await expect(clash.getByRole('button')).toHaveText([`Take ${value}`, `Keep ${value + 1}`]);
  }
  await ana.getByRole('button', { name: `Take ${value}` }).click();
  await expect(ana.getByRole('region', { name: 'Which of the two is right?' })).toHaveCount(0);
  await expect(ana.getByTestId('kept')).toHaveText('All is kept on this device.');
}

/** Both devices hold the same entries, and every figure that was typed is one of them. */
async function expectAllTyped(ana: Page, ben: Page, id: string, typed: readonly Typed[]) {
  const [mine, theirs] = [
    readBackup(await saveBackup(ana, id)).entries,
    readBackup(await saveBackup(ben, id)).entries,
  ];
  expect(theirs).toEqual(mine);
  expect(typed).toHaveLength(3 * (32 * 2 + 1));
  for (const { by, thing, value } of typed) {
    const entry = mine.find((one) => one.thing === thing && one.who === by && one.value === value);
    expect(entry, `${by}: ${thing} ${value}`).toBeDefined();
  }
}

/** Reveals the codes; the page's verdict is the one that the room of verdicts gives. */
async function revealAndJudge(page: Page, id: string): Promise<void> {
  await page.goto(`/#/trial/${id}`);
  await expect(page.getByText('Looking now reveals the treatments')).toBeVisible();
  await expect(page.getByTestId('sentence')).toHaveCount(0);
  await page.getByRole('button', { name: 'Reveal the codes …' }).click();
  await page.getByLabel('Type “reveal” to go on').fill('reveal');
  await page.getByRole('button', { name: 'Reveal the treatments' }).click();
  const sentence = await readSentence(page);
  await expect(page.locator('.verdict-grid')).toHaveAttribute('aria-busy', 'false');
  const saving = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Download the verdict (JSON)' }).click();
  const shown: unknown = JSON.parse(readFileSync(await (await saving).path(), 'utf8'));
  const { trial } = readBackup(await saveBackup(page, id));
  const judgement = judge(trial);
  expect(trial.reveal?.day).toBe(days[1]);
  expect(trial.rounds.every(({ blind }) => blind === true)).toBe(true);
  expect(differences(shown, JSON.parse(JSON.stringify(judgement)))).toEqual([]);
  expect(sentence).toBe(judgement.verdict.sentence);
  expect(sentence).toMatch(/milk|bicarbonate|water/i);
}

/** Of figures that an optimiser finds: the last bits of a logarithm differ between engines. */
const optimised = 1e-6;

/** Where two values of JSON are not the same; numbers but for what the engine makes of them. */
function differences(a: unknown, b: unknown, at = ''): string[] {
  if (typeof a === 'number' && typeof b === 'number') {
    const near = Math.abs(a - b) <= optimised * Math.max(Math.abs(a), Math.abs(b), optimised);
    return near ? [] : [`${at}: ${a}, ${b}`];
  }
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) {
    return a === b ? [] : [`${at}: ${JSON.stringify(a)}, ${JSON.stringify(b)}`];
  }
  const [left, right] = [new Map(Object.entries(a)), new Map(Object.entries(b))];
  const keys = new Set([...left.keys(), ...right.keys()]);
  return [...keys].flatMap((key) => differences(left.get(key), right.get(key), `${at}/${key}`));
}
