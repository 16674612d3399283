import { readDay } from '@fairbed/field';
import { describe, expect, it } from 'vitest';
import {
  allBytes,
  hasPoppler,
  pagePicture,
  pageSizes,
  pageTexts,
  part,
  popplerPages,
  qrText,
  shownTexts,
  withoutPoppler,
} from '../../gallery/read-pdf';
import { type StakesInput, stakesPdf } from './stakes';

const day = readDay('2026-05-04')!;
const urlOf = (code: string): string =>
  `https://garden.example/#/stake/3f2b8c1e-7a4d-4c0b-9e52-d1a6b7c80f21/${code}`;
const plots = Array.from({ length: 63 }, (_, i) => ({
  code: `${'ACEFHJKMNPRT'[i % 12]}${2 + (i % 7)}${'WXY'[Math.floor(i / 21)]}`,
  block: String(1 + Math.floor(i / 9)),
}));
const input: StakesInput = { title: 'White rust', garden: 'Hill', paper: 'a4', day, plots, urlOf };

async function made(change: Partial<StakesInput> = {}): Promise<Uint8Array> {
  const sheet = await stakesPdf({ ...input, ...change });
  if (!sheet.ok) throw new Error(sheet.problem.what);
  return sheet.bytes;
}

it('prints every code, block and number, eight stakes a page', async () => {
  const pages = await pageTexts(await made());
  expect(pages.length).toBe(8);
  const texts = pages.flat();
  for (const [i, { code, block }] of plots.entries()) {
    expect(texts.filter((text) => text === code)).toHaveLength(1);
    expect(texts).toContain(`${i + 1} of 63`);
    expect(texts).toContain(`Block ${block}`);
  }
});

it('is exactly A4 or US Letter', async () => {
  // ISO 216: 210 x 297 mm; ANSI/ASME Y14.1: 8.5 x 11 in; in points to the hundredth.
  expect(new Set((await pageSizes(await made())).map(String))).toEqual(new Set(['595.28,841.89']));
  const letter = await pageSizes(await made({ paper: 'letter' }));
  expect(new Set(letter.map(String))).toEqual(new Set(['612,792']));
});

it('gives the same bytes for the same input, and others for another day', async () => {
  const [one, two] = [await made(), await made()];
  expect(Buffer.compare(one, two)).toBe(0);
  expect(Buffer.compare(one, await made({ day: readDay('2026-05-05')! }))).not.toBe(0);
});

it('holds no treatment name, in texts, bytes, unpacked streams or metadata', async () => {
  const treatments = ['Skim milk', 'Copper', 'Untreated'];
  const named = { title: 'Does copper help?', garden: 'Bed by the skim milk tank', treatments };
  const sheet = await stakesPdf({ ...input, ...named });
  if (!sheet.ok) throw new Error(sheet.problem.what);
  expect(await allBytes(sheet.bytes)).not.toMatch(/skim|milk|copper|untreated/i);
  expect(sheet.notes).toEqual([
    'The title names a treatment, so it was left out of this sheet.',
    'The garden names a treatment, so it was left out of this sheet.',
  ]);
  // The search itself works: without the list the title is printed and found.
  expect(await allBytes(await made({ title: 'Does copper help?' }))).toMatch(/copper/i);
});

it('refuses a code that is the name of a treatment', async () => {
  const sheet = await stakesPdf({ ...input, plots: [{ code: 'B' }], treatments: ['A', 'b'] });
  expect(sheet).toMatchObject({ ok: false, problem: { code: 'code-names-treatment' } });
});

it('refuses nothing to print, codes twice and links too long, in words', async () => {
  const none = await stakesPdf({ ...input, plots: [] });
  expect(none).toMatchObject({ ok: false, problem: { what: 'The trial has no plots yet.' } });
  const twice = await stakesPdf({ ...input, plots: [{ code: 'K7' }, { code: 'K7' }] });
  expect(twice).toMatchObject({ ok: false, problem: { what: 'Two plots have the code K7.' } });
  const long = await stakesPdf({ ...input, urlOf: () => `https://x.example/${'a'.repeat(400)}` });
  expect(long).toMatchObject({ ok: false, problem: { code: 'long-link' } });
});

it('spells letters it lacks otherwise, says so, and ends a long title in dots', async () => {
  const title = 'Őszi kísérlet a fehérsömör ellen '.repeat(20);
  const sheet = await stakesPdf({
    ...input,
    title,
    garden: 'Сад на горі',
    plots: plots.slice(0, 3),
  });
  if (!sheet.ok) throw new Error(sheet.problem.what);
  expect(sheet.notes).toEqual([
    'Letters the printer type lacks are written in plain Latin letters.',
  ]);
  const texts = (await pageTexts(sheet.bytes)).flat();
  expect(texts).toContain('Sad na gori');
  expect(texts.some((text) => text.startsWith('Oszi kísérlet'))).toBe(true);
  expect(texts.some((text) => text.endsWith('...'))).toBe(true);
});

it('keeps every text on its own card, however long', async () => {
  const bytes = await made({
    title: 'Which of nine ways of keeping white rust off mizuna is worth it? '.repeat(9),
    garden: 'Long field at the far end beyond the ditch, Hill Farm, Upper Wherever. '.repeat(3),
    plots: [
      { code: 'K7', block: 'The shady and damp end of the bed by the hedge' },
      { code: 'PLOT-2026-NORTH-17-ABCDE', block: 'W'.repeat(80) },
      { code: 'M3', block: '3' },
    ],
  });
  const millimetre = 72 / 25.4;
  const [left, top] = [(210 - 184) / 2, 9];
  const texts = (await shownTexts(bytes))[0].filter(({ text }) => !text.startsWith('Cut along'));
  expect(texts.length).toBeGreaterThan(15);
  for (const { text, x, y, width } of texts) {
    const from = (x / millimetre - left) / 92;
    const to = ((x + width) / millimetre - left) / 92;
    expect(Math.floor(to), text).toBe(Math.floor(from));
    // From the base line down to the tails of letters, and the card's own lower edge.
    const down = (297 - y / millimetre - top) % 62;
    expect(down, text).toBeGreaterThan(2);
    expect(down, text).toBeLessThan(62 - 1);
  }
});

describe.skipIf(!hasPoppler)(`another reader${hasPoppler ? '' : ` (${withoutPoppler})`}`, () => {
  it('is read by pdftotext, block and code on the same page', async () => {
    const pages = popplerPages(await made({ paper: 'letter' }));
    expect(pages).toHaveLength(8);
    for (const [i, { code }] of plots.entries()) expect(pages[Math.floor(i / 8)]).toContain(code);
  });

  it.each(['a4', 'letter'] as const)(
    'has a QR on every stake that reads as its link: %s',
    async (paper) => {
      const bytes = await made({ paper, plots: plots.slice(0, 10) });
      const perMillimetre = 150 / 25.4;
      const px = (millimetres: number): number => Math.round(millimetres * perMillimetre);
      const width = paper === 'a4' ? 210 : 215.9;
      const left = (width - 184) / 2;
      for (const [i, { code }] of plots.slice(0, 10).entries()) {
        const picture = pagePicture(bytes, i < 8 ? 1 : 2, 150);
        const x = left + ((i % 8) % 2) * 92;
        const y = 9 + Math.floor((i % 8) / 2) * 62;
        expect(qrText(part(picture, px(x + 1), px(y + 19), px(44), px(42)))).toBe(urlOf(code));
      }
    },
  );
});
