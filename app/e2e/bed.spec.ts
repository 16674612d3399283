import { trialToPackage } from '@fairbed/files';
import { createBook, createPen, type Line } from '@fairbed/notebook';
import { recordKinds, scoreThing, trialFrom } from '@fairbed/trial';
import { expect, type Page, test } from '@playwright/test';
import { expectNoSeriousFault } from './axe';
import { expectFits } from './fits';
import { bringIn, layout, makeBookPackage } from './makeBook';

const names = /Untreated|Water only|Potassium bicarbonate|Wide spacing/;
const figure = scoreThing({ round: 'r1', plot: 'p1', plant: '3', field: 'diseased' });

/** Monday of the second planned round, in the morning. */
const secondRound = new Date(2026, 4, 11, 9, 30);

const title = (page: Page) => page.getByRole('heading', { level: 1 });
const heard = (page: Page) => page.getByTestId('announcer');

async function expectGood(page: Page, where: string): Promise<void> {
  await expectNoSeriousFault(page, where);
  await expectFits(page, where);
}

/** The same trial as another device knows it, which wrote these lines and never met this one. */
function otherDevice(id: string, lines: readonly Line[]): Buffer {
  const book = createBook(recordKinds);
  const pen = createPen({ writer: 'otherx0001', who: () => 'Ben', now: () => 0, book });
  pen.writeAll(lines);
  return Buffer.from(trialToPackage(trialFrom(id, book).trial, { entries: book.entries() }));
}

test.beforeEach(async ({ page }) => {
  await page.clock.setFixedTime(secondRound);
});

test('from what is due to the bed, a round, a lost plot, a spray, the reveal and the verdict', async ({
  page,
}) => {
  test.setTimeout(120_000);
  await bringIn(page, 'bedtrial');
  await page.goto('/');
  await expect(title(page)).toHaveText('What needs doing today?');
  const now = page.getByTestId('now');
  await expect(now.getByText('It is round 2 of 4, planned for today.')).toBeVisible();
  await expect(now.getByText(/No back-up was ever saved/)).toBeVisible();
  await expectGood(page, 'now');

  await page.goto('/#/bed/bedtrial');
  await expect(title(page)).toHaveText('What comes next in this bed?');
  const map = page.getByTestId('bed-map');
  await expect(map.getByRole('button', { name: /plot K7F/ })).toBeVisible();
  await expect(page.locator('main')).not.toContainText(names);
  await expect(page.getByRole('list', { name: 'Rounds' })).toContainText('Due today');
  await page.getByRole('button', { name: 'Begin the round' }).click();
  await expect(page).toHaveURL(/#\/score\/bedtrial\/\d{4}-\d\d-\d\d$/);
  await page.goBack();
  await expect(page.getByRole('list', { name: 'Rounds' })).toContainText('Begun');

  await map.getByRole('button', { name: /plot K7F/ }).click();
  const picked = page.getByRole('group', { name: 'Plot K7F' });
  await expect(picked.getByRole('link', { name: 'Score plot K7F' })).toHaveAttribute(
    'href',
    '#/score/bedtrial/2026-05-11/p1',
  );
  await picked.getByText('Plot K7F is lost').click();
  await picked.getByRole('button', { name: /Write down/ }).click();
  await expect(picked.getByRole('alert')).toContainText('why it is lost');
  await picked.getByLabel('Why').fill('Dug up by a badger');
  await picked.getByRole('button', { name: /Write down/ }).click();
  await expect(heard(page)).toContainText('Plot K7F is lost.');
  await expect(picked).toContainText('Lost on 11 May 2026: Dug up by a badger');
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(picked).not.toContainText('badger');
  await page.getByRole('button', { name: 'Redo' }).click();
  await expect(picked).toContainText('badger');

  await page.getByText('Write down a spray').click();
  await expect(page.locator('main')).not.toContainText(names);
  await page.getByRole('button', { name: 'I spray, I don’t score' }).click();
  await page.getByLabel('Treatment', { exact: true }).selectOption('Potassium bicarbonate');
  const own = layout.filter(({ treatment }) => treatment === 'K').map(({ code }) => code);
  for (const code of own)
    await expect(page.getByLabel(code, { exact: true }).first()).toBeChecked();
  await page.getByLabel('Keep out for, hours').fill('a day');
  await page.getByRole('button', { name: 'Write the spray down' }).click();
  await expect(page.getByRole('alert')).toContainText('re-entry interval in hours must be');
  await page.getByLabel('Keep out for, hours').fill('12');
  await page.getByLabel('Sprayed by').fill('Ben');
  await page.getByRole('button', { name: 'Write the spray down' }).click();
  await expect(heard(page)).toContainText('The spray is written down.');
  await page.getByText('Write down a spray').click();
  const diary = page.getByRole('list', { name: 'Diary, latest first' });
  await expect(diary).toContainText('by Ben. Keep out for 12 hours.');
  await expect(diary).toContainText('The page for spraying was opened');
  await expect(diary).not.toContainText(names);
  await expect(page.getByText(/re-entry interval of 12 hours runs until/)).toBeVisible();
  await expectGood(page, 'bed');

  await page.goto('/#/trial/bedtrial');
  await expect(
    page.getByRole('heading', { name: 'Looking now reveals the treatments' }),
  ).toBeVisible();
  await expect(page.locator('main')).not.toContainText(names);
  await expectGood(page, 'before the verdict');
  await page.getByRole('button', { name: 'Reveal the codes' }).click();
  await page.getByLabel('Type “reveal” to go on').fill('reveal');
  await page.getByRole('button', { name: 'Reveal the treatments' }).click();
  await expect(page.getByRole('alert')).toContainText('why it is revealed');
  await page.getByLabel('Why now?').fill('The rest was hailed down');
  await page.getByRole('button', { name: 'Reveal the treatments' }).click();
  await expect(page.getByRole('heading', { name: 'Looking now' })).toHaveCount(0);
  await expect(page.locator('main')).toContainText(names);

  await page.goto('/#/bed/bedtrial');
  await expect(page.getByText('The codes were revealed on').last()).toBeVisible();
  await expect(page.locator('main')).toContainText('before the last planned round');
  await expect(map.getByRole('button', { name: /plot K7F, Untreated/ })).toBeVisible();
  await expectGood(page, 'bed, revealed');
});

test('a file from another device clashes; the history shows both, and one is chosen', async ({
  page,
}) => {
  await bringIn(page, 'clash');
  await page.goto('/#/share/clash');
  await expect(title(page)).toHaveText('Is this trial safe?');
  await page.getByLabel('Name on this device').fill('Ann');
  await page.getByRole('button', { name: 'Keep the name' }).click();
  const input = page.locator('input[type=file]');
  const file = (buffer: Buffer) => ({ name: 'ben.zip', mimeType: 'application/zip', buffer });
  const bens = otherDevice('clash', [
    { kind: 'plan', thing: 'question', value: 'Which keeps rust off?' },
    { kind: 'score', thing: figure, value: 6 },
  ]);
  await input.setInputFiles(file(bens.subarray(0, bens.length - 40)));
  await expect(page.getByTestId('taken')).toContainText('was refused. Nothing was changed.');
  await input.setInputFiles(file(bens));
  await expect(page.getByTestId('taken')).toContainText('brought 2 entries that were not here');
  await expectGood(page, 'share');
  await page.getByRole('link', { name: 'Look at what clashes' }).click();

  await expect(title(page)).toHaveText('Who entered what, and when?');
  const clash = page.getByRole('region', { name: 'Which of the two is right?' });
  await expect(clash).toContainText('Diseased leaves, plot K7F, plant 3, round of 4 May 2026');
  await expect(clash).toContainText('by Ben on device otherx');
  await expect(clash).toContainText('by Ana on device madeup');
  await expectGood(page, 'history');
  await clash.getByRole('button', { name: 'Take 6' }).click();
  await expect(clash).toHaveCount(0);
  const list = page.getByRole('list', { name: 'Entries, latest first' });
  await expect(list.getByRole('listitem').first()).toContainText(
    /plant 3, round of 4 May 2026: 6.*by Ann on this device/,
  );

  await page.goto('/#/history/clash/plot/p1');
  await page.getByRole('link', { name: /Diseased leaves, plant 3: 6, entered 3 times/ }).click();
  await expect(title(page)).toBeFocused();
  await page.getByLabel('Diseased leaves, as it should be').fill('-1');
  await page.getByRole('button', { name: 'Correct it' }).click();
  await expect(page.getByRole('alert')).toContainText('a whole number of leaves');
  await page.getByLabel('Diseased leaves, as it should be').fill('5');
  await page.getByRole('button', { name: 'Correct it' }).click();
  await expect(page.locator('.lead')).toContainText('plant 3, round of 4 May 2026: 5');
  await page.getByRole('button', { name: 'Put it back: 0' }).click();
  await expect(page.locator('.lead')).toContainText('plant 3, round of 4 May 2026: 0');
  await expect(page.locator('.history-line')).toHaveCount(5);
  await expectGood(page, 'one figure');
});

test('a back-up is saved, the trial erased, and the back-up brings all of it back', async ({
  page,
}) => {
  await bringIn(page, 'safe');
  await page.goto('/#/share/safe');
  await expect(page.getByText('No back-up was ever saved.', { exact: false })).toBeVisible();
  const saving = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save a back-up', exact: true }).click();
  const path = await (await saving).path();
  await expect(page.getByText('Nothing was written since.', { exact: false })).toBeVisible();
  await page.getByText('Erase this trial from this device').click();
  await page.getByLabel('Type “erase” to go on').fill('erase');
  await page.getByRole('button', { name: 'Erase it for good' }).click();
  await expect(title(page)).toHaveText('Which trial do you want to look at?');
  await page.goto('/#/bed/safe');
  await expect(page.getByText('No trial with this address is kept')).toBeVisible();
  await page.goto('/');
  await page.locator('input[type=file]').first().setInputFiles(path);
  await expect(page).toHaveURL(/#\/bed\/safe$/);
  await expect(page.getByRole('group', { name: 'What the file brought' })).toContainText(
    'is a trial new to this device: 250 entries',
  );
});

test('photos stand side by side and from round to round, under their codes', async ({ page }) => {
  await bringIn(page, 'album');
  const colours = ['#486', '#a52', '#2a5'];
  const png = async (colour: string): Promise<Buffer> => {
    const base64 = await page.evaluate((fill) => {
      const canvas = Object.assign(document.createElement('canvas'), { width: 64, height: 48 });
      const pen = canvas.getContext('2d');
      if (pen) {
        pen.fillStyle = fill;
        pen.fillRect(0, 0, 64, 48);
      }
      return canvas.toDataURL('image/png').split(',')[1] ?? '';
    }, colour);
    return Buffer.from(base64, 'base64');
  };
  for (const [i, at] of ['p1/1', 'p1/2', 'p2/1'].entries()) {
    await page.goto(`/#/score/album/r1/${at}`);
    const buffer = await png(colours[i] ?? '#000');
    await page
      .locator('input[type=file][accept="image/*"]')
      .setInputFiles({ name: 'leaf.png', mimeType: 'image/png', buffer });
    await expect(heard(page)).toContainText('Photo kept');
  }
  await page.goto('/#/photos/album');
  const beside = page.getByRole('list', { name: 'Plots side by side' });
  await expect(beside.locator('img')).toHaveCount(3);
  await expect(beside.getByRole('button', { name: /Show in full: Plot K7F/ })).toHaveCount(2);
  await expect(beside.getByRole('button', { name: /Show in full: Plot M3X/ })).toHaveCount(1);
  await expect(page.locator('main')).not.toContainText(names);
  await expectGood(page, 'photos');
  await page.getByLabel('Show', { exact: true }).selectOption('Plot K7F');
  await expect(page).toHaveURL(/#\/photos\/album\/p1$/);
  await page.getByLabel('Plant', { exact: true }).selectOption('Plant 2');
  await page.getByRole('button', { name: /Show in full: Plot K7F, plant 2/ }).click();
  const full = page.getByRole('dialog');
  await expect(full).toContainText('(1 of 1)');
  await expectNoSeriousFault(page, 'a photo in full');
  await page.keyboard.press('Escape');
  await expect(full).toHaveCount(0);
});

test('a damaged package is never half taken in', async ({ page }) => {
  await page.goto('/');
  const whole = makeBookPackage('broken');
  const damaged = Buffer.from(whole);
  damaged.fill(7, Math.floor(whole.length / 2), Math.floor(whole.length / 2) + 20);
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({ name: 'broken.zip', mimeType: 'application/zip', buffer: damaged });
  await expect(page.getByText('broken.zip could not be read. Nothing was changed.')).toBeVisible();
  await page.goto('/#/bed/broken');
  await expect(page.getByText('No trial with this address is kept')).toBeVisible();
});
