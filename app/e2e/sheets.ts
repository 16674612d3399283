import { fileURLToPath } from 'node:url';
import { expect, type Page } from '@playwright/test';

/** A file of the repository, by its path from the root. */
export const fromRoot = (path: string): string =>
  fileURLToPath(new URL(`../../${path}`, import.meta.url));

/** Chooses a sheet on the shelf, as the button does. */
export async function chooseSheet(page: Page, path: string): Promise<void> {
  await page.locator('input[type=file]').first().setInputFiles(fromRoot(path));
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('What does each column hold?');
}

/** Says what a column holds. */
export const takeColumnAs = async (page: Page, column: string, role: string): Promise<void> => {
  await page.getByLabel(`What column ${column} holds`, { exact: true }).selectOption(role);
};

/** Answers one of the questions by its words. */
export async function answer(page: Page, question: RegExp, choice: string | RegExp): Promise<void> {
  const group = page.getByRole('radiogroup', { name: question });
  await group.getByText(choice, typeof choice === 'string' ? { exact: true } : {}).click();
  await expect(group.getByRole('radio', { checked: true })).toHaveCount(1);
}

/** The sentence of the verdict, once it is there. */
export async function readSentence(page: Page): Promise<string> {
  const sentence = page.getByTestId('sentence');
  await expect(sentence).toBeVisible();
  return sentence.innerText();
}

/** The rows of a table on the screen, cell by cell, with plain minus signs and single spaces. */
export async function rowsOf(page: Page, caption: RegExp): Promise<string[][]> {
  const rows = page.getByRole('region', { name: caption }).locator('tbody tr');
  await expect(rows.first()).toBeVisible();
  const cells = await rows.evaluateAll((all) =>
    all.map((row) => [...row.children].map((cell) => (cell as HTMLElement).innerText)),
  );
  const plain = (text: string): string =>
    text
      .replace(/\u2212/g, '-')
      .replace(/(\d)\u202f(?=\d)/g, '$1')
      .replace(/\s+/g, ' ')
      .trim();
  return cells.map((row) => row.map(plain));
}
