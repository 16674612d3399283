import { expect, type Page, test } from '@playwright/test';
import { answer, chooseSheet, readSentence, rowsOf } from './sheets';

// Open data, read and judged in the browser: what stands on the screen is what R 4.2.2 gives for
// the same rows (lm, emmeans 1.8, lme4 1.1-31), to the digits shown. Who made the data and under
// which licence: data/open/README.md.

async function judged(page: Page, sheet: string, answers: readonly (readonly [RegExp, string])[]) {
  await page.goto('/');
  await chooseSheet(page, sheet);
  for (const [question, choice] of answers) await answer(page, question, choice);
  await page.getByRole('button', { name: 'Go on to the verdict' }).click();
  await readSentence(page);
  await page.getByText('Layouts, seeds and methods').click();
}

test('diseased leaves of grape, block by block: the figures are those of R', async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, 'data/open/grape-downy-mildew.csv');
  // A vine is a plant of the plot, a shoot a part of the vine.
  const holds = (column: string) => page.getByLabel(`What column ${column} holds`, { exact: true });
  await expect(holds('vine').locator('option:checked')).toHaveText('Plant');
  await expect(holds('shoot').locator('option:checked')).toHaveText(
    'Part of a plant (shoot, sample)',
  );
  await answer(page, /untreated control/, 'T1');
  await page.getByRole('button', { name: 'Go on to the verdict' }).click();
  expect(await readSentence(page)).toMatch(/^T3 had 96\s% less disease than T1/);
  await page.getByText('Layouts, seeds and methods').click();

  // anova(lm(percent ~ block + trt)) of the 18 plots.
  expect(await rowsOf(page, /analysis of variance/)).toEqual([
    ['block', '2', '28.97', '14.48', '0.90', '0.437'],
    ['treatment', '5', '9452.85', '1890.57', '117.54', '< 0.0001'],
    ['residual', '10', '160.84', '16.08', '–', ''],
  ]);
  // emmeans: percent of leaves diseased with its 95 % interval.
  const means = await rowsOf(page, /Diseased leaves, last round, by treatment/);
  expect(means.map(([name, plots, mean]) => [name, plots, mean])).toEqual([
    ['T1', '3', '66.37 61.21 to 71.53'],
    ['T2', '3', '7.52 2.36 to 12.68'],
    ['T3', '3', '2.70 -2.46 to 7.86'],
    ['T4', '3', '4.33 -0.83 to 9.49'],
    ['T5', '3', '3.50 -1.66 to 8.66'],
    ['T6', '3', '7.32 2.16 to 12.48'],
  ]);
  // glmer(cbind(diseased, total - diseased) ~ trt + (1|block) + (1|plot) + (1|plot:vine)).
  const terms = await rowsOf(page, /log-odds of disease/);
  expect(terms.map(([name, estimate, se]) => [name, estimate, se])).toEqual([
    ['(Intercept)', '0.6978', '0.1441'],
    ['T2', '-3.2377', '0.2452'],
    ['T3', '-4.3092', '0.3277'],
    ['T4', '-3.8640', '0.2750'],
    ['T5', '-4.0395', '0.2899'],
    ['T6', '-3.2637', '0.2454'],
  ]);
  await expect(page.getByText(/^Log-likelihood −366\.3912\./)).toHaveText(
    'Log-likelihood −366.3912. Standard deviations: block 0.0000, plot 0.1201, plant 0.2539.',
  );
  // The model's p is the plain one; the page says what it is worth.
  await expect(page.getByText(/likelihood ratio/)).toContainText(
    'too sure with few plots; the verdict does not use it',
  );
});

test('grades of mungbean over five dates, 1 is healthy: the figures are those of R', async ({
  page,
}) => {
  await judged(page, 'data/open/mungbean-fungicide-timing.csv', [
    [/What was scored/, 'Grade'],
    [/does the scale run/, '1 to 9'],
    [/healthy plant/, '1, the lowest grade'],
    [/lower or a higher/, 'Higher is better'],
    [/untreated control/, 'control'],
  ]);
  await expect(page.getByLabel('Judged by').locator('option:checked')).toHaveText(
    'Disease grade, in steps from healthy, area under the curve',
  );
  // anova(lm(audpc ~ block + treatment)).
  expect(await rowsOf(page, /analysis of variance/)).toEqual([
    ['block', '4', '157.05', '39.26', '0.20', '0.936'],
    ['treatment', '5', '18725.87', '3745.17', '19.04', '< 0.0001'],
    ['residual', '20', '3933.05', '196.65', '–', ''],
  ]);
  // The page counts steps from healthy: R's area under the grades themselves (130.9, 123.7, 111.4,
  // 103.5, 58.1 and 129.6) less one grade over the 36 days.
  const means = await rowsOf(page, /area under the curve, by treatment/);
  const shown = new Map(means.map(([name = '', plots, mean]) => [name, `${plots} ${mean}`]));
  expect(Object.fromEntries(shown)).toEqual({
    '1/3C': '5 94.9 81.8 to 108.0',
    '1/3C + 1': '5 87.7 74.6 to 100.8',
    '1st sign': '5 75.4 62.3 to 88.5',
    '1st sign +1': '5 67.5 54.4 to 80.6',
    '5wks+2': '5 22.1 9.0 to 35.2',
    control: '5 93.6 80.5 to 106.7',
  });
});
