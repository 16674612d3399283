import { readFileSync } from 'node:fs';
import { expect, type Page, test } from '@playwright/test';
import {
  hasPoppler,
  pagePicture,
  pageTexts,
  part,
  popplerPages,
  qrText,
} from '../../packages/report/gallery/read-pdf';
import { expectNoSeriousFault } from './axe';
import { expectFits } from './fits';
import {
  addTreatment,
  answerTheRest,
  beginPlan,
  planFourByFour,
  question,
  write,
} from './plan-steps';

const fact = (id: string) => `fact-${id}`;

test('a trial of 4 x 4 is planned, drawn, drawn again, sealed and printed', async ({ page }) => {
  await planFourByFour(page);
  // 24 orders in each of four blocks; 24 of the 24^4 layouts differ by names alone.
  await expect(page.getByTestId(fact('layouts'))).toHaveText(/^331.776$/);
  await expect(page.getByTestId(fact('least-p'))).toHaveText('0.000072');
  await expect(page.getByTestId(fact('error-df'))).toHaveText('9');
  await expect(page.getByTestId(fact('plots'))).toHaveText('16');
  await expect(page.getByTestId(fact('plants'))).toHaveText('64');
  await expect(page.getByTestId('fit')).toHaveText('16 plots fit into the beds.');
  await answerTheRest(page);
  await expectNoSeriousFault(page, 'plan');
  await expectFits(page, 'plan');
  await expect(question(page, 8).getByRole('link')).toHaveText(['7: the layout']);

  const draws = page.getByRole('list', { name: 'Every draw' }).getByRole('listitem');
  await page.getByRole('button', { name: 'Draw the layout' }).press('Enter');
  await expect(draws).toHaveText([/^Draw 1, the one in use\. .* seed \d+\.$/]);
  const map = page.getByTestId('code-map').locator('svg');
  const first = (await map.locator('desc').textContent()) ?? '';
  expect(first).toMatch(/^16 plots\./);
  expect(first).not.toMatch(/milk|bicarbonate|water|untreated/i);

  await page.getByRole('button', { name: 'Draw again' }).press('Enter');
  await page.getByRole('button', { name: 'Draw it again' }).press('Enter');
  await expect(page.getByText('Say why:')).toBeVisible();
  await page.getByLabel('Why is it drawn again?').fill('The north end is under water');
  await page.getByLabel('Why is it drawn again?').press('Enter');
  await expect(draws).toHaveText([
    /^Draw 1\. /,
    /^Draw 2, the one in use\. .* Why again: The north end is under water$/,
  ]);
  expect(await map.locator('desc').textContent()).not.toBe(first);

  await page.getByRole('button', { name: 'Seal the plan' }).press('Enter');
  await expect(page.getByTestId('seal-hash')).toHaveText(/^[0-9a-f]{64}$/);
  await expect(page.getByText('Nothing has departed from the plan.')).toBeVisible();
  const hash = await page.getByTestId('seal-hash').textContent();
  await write(page, 'Smallest difference worth having, %', '25');
  await page.getByLabel(/Why was it changed/).fill('The price of milk rose');
  await page.getByLabel(/Why was it changed/).press('Enter');
  const departures = page.getByRole('list', { name: 'Departures from the plan' });
  await expect(departures.getByRole('listitem')).toHaveText([/40.*25|25.*40/]);
  await expect(page.getByRole('list', { name: 'Reasons given' })).toContainText('price of milk');
  await expect(page.getByText('The plan was changed since.')).toBeVisible();
  await page.reload();
  await expect(page.getByTestId('seal-hash')).toHaveText(hash ?? '');
  await expect(departures.getByRole('listitem')).toHaveCount(1);
  await expectNoSeriousFault(page, 'sealed plan');

  await question(page, 8).getByRole('link', { name: 'Print stakes and maps' }).press('Enter');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('What do you need on paper?');
  await page.getByText('16 stakes, in the order of the walk').click();
  const codes = await page.locator('.plan-code-list strong').allTextContents();
  expect(new Set(codes).size).toBe(16);
  await expectNoSeriousFault(page, 'stakes');
  await expectFits(page, 'stakes');
  await page.getByRole('radio', { name: 'A4' }).press('Space');
  const stakes = await made(page, 'Make the stakes');
  const hidden = /skim|bicarbonate|plain water|untreated/i;
  const text = await textOf(stakes);
  for (const code of codes) expect(text).toContain(code);
  expect(text).not.toMatch(hidden);
  const address = page.url().replace('/#/stakes/', '/#/stake/');
  if (hasPoppler) expect(firstQr(stakes)).toBe(`${address}/${codes[0]}`);
  const scorer = await textOf(await made(page, 'Make the scorer’s map'));
  for (const code of codes) expect(scorer).toContain(code);
  expect(scorer).not.toMatch(hidden);
  const sprayer = await textOf(await made(page, 'Make the map for spraying'));
  for (const name of ['Skim milk', 'Bicarbonate', 'Untreated']) expect(sprayer).toContain(name);
  const blank = await textOf(await made(page, 'Make the sheet to score on'));
  for (const code of codes) expect(blank).toContain(code);
  expect(blank).not.toMatch(hidden);
});

/** Makes a sheet and saves it. */
async function made(page: Page, button: string): Promise<Uint8Array> {
  const saving = page.waitForEvent('download');
  await page.getByRole('button', { name: button }).press('Enter');
  const saved = await saving;
  expect(saved.suggestedFilename()).toMatch(/^pak-choi-rust-2026-.*-a4\.pdf$/);
  return readFileSync(await saved.path());
}

/** The text of a sheet, by poppler where the machine has it. */
const textOf = async (bytes: Uint8Array): Promise<string> =>
  hasPoppler ? popplerPages(bytes).join('\n') : (await pageTexts(bytes)).flat().join('\n');

/** What a phone reads from the first stake of a sheet of A4. */
function firstQr(bytes: Uint8Array): string | undefined {
  const px = (millimetres: number): number => Math.round((millimetres * 150) / 25.4);
  const picture = pagePicture(bytes, 1, 150);
  return qrText(part(picture, px(14), px(28), px(44), px(42)));
}

test('two treatments in four blocks are told that 0.125 is the best they can do', async ({
  page,
}, info) => {
  await beginPlan(page);
  await addTreatment(page, 'Product', 'Skim milk');
  await expect(page.getByTestId(fact('least-p'))).toHaveText('0.125');
  await expect(page.getByTestId(fact('layouts'))).toHaveText('16');
  const facts = page.getByTestId('facts');
  await expect(facts).toContainText('can never give a p-value below 0.125');
  if (info.project.name === 'phone') {
    // In sight at the foot of the screen, wherever on the page one is.
    await expect(page.locator('.plan-strip')).toContainText('never below 0.125');
    await page.evaluate(() => window.scrollTo(0, 0));
    await expect(page.locator('.plan-strip')).toBeInViewport({ ratio: 0.9 });
  }
  await page.getByRole('button', { name: 'Plan it so' }).press('Enter');
  await expect(page.getByRole('textbox', { name: 'Blocks', exact: true })).toHaveValue('6');
  await expect(page.getByTestId(fact('least-p'))).toHaveText('0.0313');
  await expect(facts).not.toContainText('can never');
  await expectNoSeriousFault(page, 'two treatments');
});

test('a bad answer stays in its field with words beside it, and nothing is lost', async ({
  page,
}) => {
  await planFourByFour(page);
  const width = page.getByLabel('West to east, m', { exact: true });
  await write(page, 'West to east, m', 'six');
  await expect(width).toHaveValue('six');
  await expect(page.getByText('must be a number from 0.05 to 1000 m; got “six”')).toBeVisible();
  await expect(width).toHaveAttribute('aria-invalid', 'true');
  await write(page, 'West to east, m', '1,5');
  await expect(width).toHaveValue('1.5');
  await expect(page.getByTestId('fit')).toContainText('It would fit with');
  await expect(question(page, 7)).toContainText('It can’t be drawn yet');
  await page.getByRole('button', { name: 'Undo' }).press('Enter');
  await expect(width).toHaveValue('6');
  // What is being written when another screen is asked for is kept.
  const address = new URL(page.url()).hash;
  await page.getByLabel('A short name for the trial').fill('Half a name');
  await page.evaluate(() => {
    window.location.hash = '#/';
  });
  await expect(page.getByRole('link', { name: 'Half a name' })).toBeVisible();
  await page.goto(`/${address}`);
  await page.reload();
  await expect(page.getByLabel('A short name for the trial')).toHaveValue('Half a name');
  await expect(page.getByTestId(fact('plots'))).toHaveText('16');
});

test("blocks are formed by last week's disease, beds keep paths and corners free", async ({
  page,
}) => {
  await planFourByFour(page);
  const sketch = page.getByTestId('bed-sketch').locator('desc');
  await expect(sketch).toContainText('plot 1, block 1');
  await page.getByRole('button', { name: 'Add an unusable corner in Bed 1' }).press('Enter');
  await page.getByRole('button', { name: 'Add a path in Bed 1' }).press('Enter');
  await expect(sketch).toContainText('path');
  await expect(sketch).toContainText('unusable');
  await expect(page.getByTestId('fit')).toContainText('It would fit with');
  const bed = page.getByRole('list', { name: 'Beds' });
  await bed.getByLabel('South to north, m').first().fill('9');
  await bed.getByLabel('South to north, m').first().press('Tab');
  await expect(page.getByTestId('fit')).toHaveText('16 plots fit into the beds.');
  await page.getByRole('radio', { name: "Last week's disease" }).press('Space');
  const scores = page.getByRole('group', { name: 'Disease in each plot' });
  for (let plot = 1; plot <= 16; plot++) {
    // The most diseased plots are 1, 5, 9 and 13: they make the last block.
    const field = scores.getByLabel(`Plot ${plot}`, { exact: true });
    await field.fill(`${plot % 4 === 1 ? 90 : plot}`);
    await field.press('Tab');
  }
  for (const plot of [1, 5, 9, 13]) await expect(sketch).toContainText(`plot ${plot}, block 4`);
  await expect(sketch).toContainText('plot 2, block 1');
});

// About figures; the plan page at a phone's size is what the other tests look at.
test('every design can be planned and drawn, each with its own figures', {
  tag: '@laptop',
}, async ({ page }) => {
  await planFourByFour(page);
  const design = (name: string) => page.getByRole('radio', { name, exact: true }).press('Space');
  const shows = async (layouts: RegExp, df: string): Promise<void> => {
    await expect(page.getByTestId(fact('layouts'))).toHaveText(layouts);
    await expect(page.getByTestId(fact('error-df'))).toHaveText(df);
    await expect(page.getByTestId('fit')).toContainText('plots fit');
  };
  const redraw = async (why: string): Promise<void> => {
    await page.getByRole('button', { name: 'Draw again' }).press('Enter');
    await page.getByLabel('Why is it drawn again?').fill(why);
    await page.getByLabel('Why is it drawn again?').press('Enter');
    await expect(page.getByText('so they no longer agree')).toHaveCount(0);
  };
  // 16! / 4!^4 orders.
  await design('No blocks');
  await shows(/^63.063.000$/, '12');
  await page.getByRole('button', { name: 'Draw the layout' }).press('Enter');
  // 576 Latin squares of order four.
  await design('Latin square');
  await shows(/^576$/, '6');
  await expect(page.getByText('so they no longer agree')).toBeVisible();
  await redraw('A square');
  await design('Small blocks');
  await expect(page.getByTestId('facts')).toContainText('A block must hold 2 plots or more');
  await write(page, 'Plots a block holds', '3');
  await shows(/^1.296$/, '5');
  await redraw('Small blocks');
  await design('Split plot');
  await expect(page.getByTestId('facts')).toContainText('at least 2 practices');
  await page.getByRole('button', { name: 'Add a stretch' }).press('Enter');
  await page.getByRole('button', { name: 'Add a stretch' }).press('Enter');
  await write(page, 'Stretch 1', 'Watered at dawn');
  await write(page, 'Stretch 2', 'Watered at dusk');
  for (const [name, stretch] of [
    ['Untreated', 'Watered at dawn'],
    ['Skim milk', 'Watered at dawn'],
    ['Bicarbonate', 'Watered at dusk'],
    ['Plain water', 'Watered at dusk'],
  ] as const) {
    await page.getByLabel(`${name} is on`).selectOption(stretch);
  }
  await expect(page.getByTestId(fact('error-df'))).toHaveText('6 and 3');
  await redraw('Split plot');
  const draws = page.getByRole('list', { name: 'Every draw' }).getByRole('listitem');
  await expect(draws).toHaveCount(4);
  await expectNoSeriousFault(page, 'split plot');
});

// The test sets its own width, of a phone.
test('the narrowest phone needs no sideways scrolling but in the map', { tag: '@phone' }, async ({
  page,
}) => {
  await page.setViewportSize({ width: 320, height: 640 });
  await planFourByFour(page);
  await page.getByRole('button', { name: 'Draw the layout' }).press('Enter');
  await expect(page.getByTestId('code-map').locator('svg')).toBeVisible();
  await expectFits(page, 'plan at 320');
  await expectNoSeriousFault(page, 'plan at 320');
  await page.getByRole('link', { name: 'Print stakes and maps' }).press('Enter');
  await expect(page.getByRole('button', { name: 'Make the stakes' })).toBeVisible();
  await expectFits(page, 'sheets at 320');
});
