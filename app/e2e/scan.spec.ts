import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, expect, test } from '@playwright/test';
import { encode } from 'uqr';
import { bringIn } from './makeBook';

/** A film of one frame (YUV4MPEG2) that shows a QR, as a camera before a stake would. */
function filmOf(text: string): string {
  const [width, height, dot] = [640, 480, 8];
  const { data, size } = encode(text, { border: 4 });
  const luma = Buffer.alloc(width * height, 200);
  const [left, top] = [(width - size * dot) >> 1, (height - size * dot) >> 1];
  for (let y = 0; y < size * dot; y++) {
    for (let x = 0; x < size * dot; x++) {
      const dark = data[Math.floor(y / dot)]?.[Math.floor(x / dot)] ?? false;
      luma[(top + y) * width + left + x] = dark ? 20 : 235;
    }
  }
  const colour = Buffer.alloc((width * height) / 2, 128);
  const head = Buffer.from(`YUV4MPEG2 W${width} H${height} F10:1 Ip A1:1 C420jpeg\n`);
  const frame = Buffer.concat([Buffer.from('FRAME\n'), luma, colour]);
  const path = join(mkdtempSync(join(tmpdir(), 'stake-')), 'stake.y4m');
  writeFileSync(path, Buffer.concat([head, frame, frame]));
  return path;
}

// The browser is its own, with a film for a camera: the window's size plays no part.
test(
  'the QR of a stake before the camera leads to its plot',
  { tag: '@phone' },
  async ({ baseURL }, info) => {
    const { launchOptions } = info.project.use;
    const film = filmOf(`${baseURL}/#/stake/scanned/T8D`);
    const browser = await chromium.launch({
      ...launchOptions,
      args: [
        ...(launchOptions?.args ?? []),
        '--use-fake-ui-for-media-stream',
        '--use-fake-device-for-media-stream',
        `--use-file-for-fake-video-capture=${film}`,
      ],
    });
    try {
      const context = await browser.newContext({ ...(baseURL === undefined ? {} : { baseURL }) });
      const page = await context.newPage();
      await bringIn(page, 'scanned');
      await page.goto('/#/score/scanned/r1');
      await page.getByRole('button', { name: 'Scan a stake' }).click();
      await expect(page.getByRole('heading', { level: 1 })).toHaveText(/Plot T8D/);
      await expect(page).toHaveURL(/#\/score\/scanned\/r1\/p15/);
    } finally {
      await browser.close();
    }
  },
);
