import { expect, type Page } from '@playwright/test';

/** Begins a plan from the shelf and settles on its page. */
export async function beginPlan(page: Page): Promise<void> {
  await page.goto('/');
  await page.getByRole('button', { name: 'Plan a trial' }).click();
  await expect(page).toHaveURL(/#\/plan\/[0-9a-z]+$/);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('How will you find out?');
}

export const question = (page: Page, number: number) => page.locator(`#question-${number}`);

/** Writes into a field and leaves it, as a hand on a keyboard does. */
export async function write(page: Page, label: string | RegExp, text: string): Promise<void> {
  const field = page.getByLabel(label, { exact: typeof label === 'string' });
  await field.fill(text);
  await field.press('Tab');
}

/** Adds a treatment by its kind and gives it its name. */
export async function addTreatment(page: Page, kind: string, name: string): Promise<void> {
  const list = page.getByRole('list', { name: 'Treatments' });
  const before = await list.getByRole('listitem').count();
  await question(page, 3).getByRole('button', { name: kind, exact: true }).press('Enter');
  await expect(list.getByRole('listitem')).toHaveCount(before + 1);
  const field = list.getByRole('listitem').nth(before).getByLabel('Name', { exact: true });
  await field.fill(name);
  await field.press('Tab');
  await expect(list.getByRole('heading', { name, exact: true })).toBeVisible();
}

/** What is asked beside treatments and ground, so that nothing is left to answer but the draw. */
export async function answerTheRest(page: Page): Promise<void> {
  await write(page, 'The question, as you would ask a neighbour', 'Does milk keep rust off?');
  await write(page, 'A short name for the trial', 'Pak choi rust 2026');
  await write(page, 'Crop', 'Pak choi');
  await write(page, 'Disease', 'White rust');
  await write(page, 'Rounds of scoring', '4');
  await write(page, 'Days from round to round', '7');
  await write(page, 'First round', '2099-05-04');
  const chosen = page.getByRole('radio', { name: 'All diseased leaves, in every plot' });
  await chosen.press('Space');
  await page.getByLabel('Main outcome').selectOption('diseased-cumulative');
  await write(page, 'Smallest difference worth having, %', '40');
  await page.getByRole('button', { name: 'Take these words' }).press('Enter');
  await expect(page.getByLabel('How it will be judged')).toHaveValue(/diseased leaves/);
}

/** Four treatments, four blocks, one bed of 6 x 6 m with plots of 1 x 1 m. */
export async function planFourByFour(page: Page): Promise<void> {
  await beginPlan(page);
  await addTreatment(page, 'Product', 'Skim milk');
  await addTreatment(page, 'Product', 'Bicarbonate');
  await addTreatment(page, 'Water only', 'Plain water');
  await page.getByRole('button', { name: 'Draw a bed' }).press('Enter');
  await write(page, 'West to east, m', '6');
  await write(page, 'South to north, m', '6');
  await write(page, 'Plot, across the bed, m', '1');
  await write(page, 'Plot, along the bed, m', '1');
}
