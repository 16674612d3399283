import { expect, test } from '@playwright/test';
import { expectNoSeriousFault } from './axe';
import { expectFits } from './fits';
import { addTreatment, beginPlan, write } from './plan-steps';

test('the chance to show the difference is worked out on the plan page, and can be stopped', async ({
  page,
}) => {
  await beginPlan(page);
  for (const name of ['Whey', 'Sulphur', 'Baking soda']) {
    await addTreatment(page, 'Product', name);
  }
  const power = page.getByTestId('power');
  const chance = page.getByTestId('chance');
  await expect(power).toContainText('A halving is taken');
  await write(page, 'Rounds of scoring', '5');
  // 6 of 12^4 layouts are as extreme; by the second of five looks 0.0008 may be spent.
  await expect(page.getByTestId('first-stop')).toContainText('no look before round 2');

  // By keyboard alone: begun, shown while it is worked out, stopped.
  await power.getByRole('button', { name: 'Work out the chance' }).press('Enter');
  await expect(chance).toContainText('With 4 blocks of 4 treatments, 4 plants a plot');
  await expect(power.getByRole('progressbar', { name: 'Simulated trials' })).toBeVisible();
  await power.getByRole('button', { name: 'Stop' }).press('Enter');
  await expect(power.getByTestId('power-work')).toHaveCount(0);
  await expect(power).toContainText('Stopped. What came until then:');
  const simulated = await power.getByText(/From \d+ simulated trials/).textContent();
  await page.waitForTimeout(500);
  await expect(power).toContainText(simulated ?? '-');

  // What is assumed can be changed, is kept, and the page says that the figures are of before.
  await power.getByLabel('How uneven is the bed by itself?').selectOption('even');
  await write(page, /Disease expected in the control/, '60');
  await expect(power).toContainText('The plan has changed since.');
  await power.getByRole('button', { name: 'Work it out again' }).click();
  await expect(chance).toContainText(/would be called in \d+ of 100 such trials \(\d+ to \d+\)/);
  await expect(power).not.toContainText('The plan has changed since.');
  await power.getByText('What is assumed').click();
  await expect(power).toContainText('The control has 60 % of its leaves diseased');
  await expectFits(page, 'power');
  await expectNoSeriousFault(page, 'power');
  await power.getByRole('button', { name: 'Stop' }).click();
  await page.reload();
  await expect(power.getByLabel('How uneven is the bed by itself?')).toHaveValue('even');
});
