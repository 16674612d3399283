import { expect, type Page } from '@playwright/test';

/** The page is never wider than the screen, and nothing to be pressed is smaller than a thumb. */
export async function expectFits(page: Page, where: string): Promise<void> {
  const { wide, screen } = await page.evaluate(() => ({
    wide: document.documentElement.scrollWidth,
    screen: window.innerWidth,
  }));
  expect(wide, `${where}: width of the page`).toBeLessThanOrEqual(screen);
  const small = await page
    .locator(
      'button:visible, select:visible, summary:visible, label.choice:visible, #title:visible',
    )
    .evaluateAll((elements) =>
      elements
        .filter((element) => element.getBoundingClientRect().height < 43.5)
        .map((element) => element.outerHTML.slice(0, 120)),
    );
  expect(small, `${where}: smaller than 44 pixels`).toEqual([]);
}
