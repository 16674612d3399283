import { describe, expect, it } from 'vitest';
import {
  beds,
  day,
  longBeds,
  manyPlots,
  manyTreatments,
  plots,
  treatments,
} from '../../gallery/garden';
import {
  allBytes,
  hasPoppler,
  withoutPoppler,
  pageSizes,
  pageTexts,
  popplerPages,
  shownTexts,
} from '../../gallery/read-pdf';
import { cautions } from './legend';
import { scorerMapPdf, sprayerMapPdf } from './maps';
import { scoringSheetPdf } from './scoring-sheet';
import type { Sheet } from './sheet';
import { stakesPdf } from './stakes';

const base = { title: 'White rust on mizuna', garden: 'Hill Farm', day, beds };
const names = treatments.map(({ name }) => name);

function bytesOf(sheet: Sheet): Uint8Array {
  if (!sheet.ok) throw new Error(sheet.problem.what);
  return sheet.bytes;
}

const scorer = async (paper: 'a4' | 'letter') =>
  bytesOf(await scorerMapPdf({ ...base, paper, plots, treatments: names }));
const sprayer = async (paper: 'a4' | 'letter') =>
  bytesOf(await sprayerMapPdf({ ...base, paper, plots, treatments, control: 'u' }));
const scoring = async (paper: 'a4' | 'letter') =>
  bytesOf(
    await scoringSheetPdf({
      ...base,
      paper,
      plots: plots.map(({ code }) => ({ code, plants: ['1', '2', '3'] })),
      diseases: ['white rust', 'downy mildew'],
    }),
  );

/** Printers leave out 6 mm at the edge of a page at most. */
const edge = (6 / 25.4) * 72;

async function expectWithinPaper(bytes: Uint8Array): Promise<void> {
  const sizes = await pageSizes(bytes);
  for (const [page, texts] of (await shownTexts(bytes)).entries()) {
    const [width, height] = sizes[page];
    for (const { text, x, y, width: long, upwards } of texts) {
      const right = upwards ? x : x + long;
      const top = upwards ? y + long : y;
      expect(x, text).toBeGreaterThanOrEqual(edge);
      expect(right, text).toBeLessThanOrEqual(width - edge);
      expect(y, text).toBeGreaterThanOrEqual(edge);
      expect(top, text).toBeLessThanOrEqual(height - edge);
    }
  }
}

describe.each(['a4', 'letter'] as const)('on %s', (paper) => {
  it('is exactly that paper, and no text leaves it', async () => {
    const size = paper === 'a4' ? [595.28, 841.89] : [612, 792];
    for (const bytes of [await scorer(paper), await sprayer(paper), await scoring(paper)]) {
      for (const found of await pageSizes(bytes)) expect(found).toEqual(size);
      await expectWithinPaper(bytes);
    }
  });

  it('keeps many plots and long names on the paper, over several pages', async () => {
    const title = 'Which of nine ways of keeping white rust off mizuna is worth the work? '.repeat(
      9,
    );
    const many = { title, garden: 'W'.repeat(300), day, paper, beds: longBeds, plots: manyPlots };
    const spray = bytesOf(
      await sprayerMapPdf({ ...many, treatments: manyTreatments, control: 't0' }),
    );
    for (const bytes of [bytesOf(await scorerMapPdf(many)), spray]) {
      const pages = await pageTexts(bytes);
      expect(pages.length).toBeGreaterThan(1);
      for (const { code } of manyPlots) expect(pages.flat()).toContain(code);
      expect(pages.at(-1)).toContain(`${pages.length} of ${pages.length}`);
      await expectWithinPaper(bytes);
    }
  });
});

it('shows the scorer every code, the way to walk, scale and north, and no treatment at all', async () => {
  const bytes = await scorer('a4');
  const texts = (await pageTexts(bytes)).flat();
  for (const [i, { code }] of plots.entries()) {
    expect(texts.filter((text) => text === code)).toHaveLength(1);
    expect(texts).toContain(String(i + 1));
  }
  expect(texts).toContain('north');
  expect(texts).toContain('2 m. Scale 1 : 50 when printed at full size.');
  expect(texts).toContain('North bed');
  expect(texts).toContain('path');
  expect(await allBytes(bytes)).not.toMatch(/untreated|skim|copper|hydroxide|water/i);
});

it('leaves the name of a block or bed out where it is that of a treatment, and says so', async () => {
  const spoilt = {
    ...base,
    paper: 'a4' as const,
    plots: plots.map((plot) => ({ ...plot, block: 'Skim milk' })),
    beds: beds.map((bed) => ({ ...bed, name: `${bed.name}, untreated` })),
    treatments: names,
  };
  const sheet = await scorerMapPdf(spoilt);
  expect(await allBytes(bytesOf(sheet))).not.toMatch(/untreated|skim/i);
  expect(sheet).toMatchObject({
    notes: [
      'The block Skim milk names a treatment, so it was left out of this sheet.',
      'The bed North bed, untreated names a treatment, so it was left out of this sheet.',
      'The bed South bed, untreated names a treatment, so it was left out of this sheet.',
    ],
  });
  const stakes = await stakesPdf({ ...spoilt, urlOf: (code) => `https://garden.example/#${code}` });
  expect(await allBytes(bytesOf(stakes))).not.toMatch(/untreated|skim/i);
});

it('shows the sprayer every treatment with ingredient and rate as entered, plots and cautions', async () => {
  const bytes = await sprayer('a4');
  const said = (await pageTexts(bytes)).flat().join(' ');
  expect(said).toContain('T2 Skim milk');
  expect(said).toContain('Active ingredient: dried skim milk. Rate: 100 g/l.');
  expect(said).toContain('Rate: 0.75 g/l. Note: Not within 7 days of harvest.');
  expect(said).toContain('Spray nothing on these plots.');
  expect(said).toContain('Water only. Nothing else in the tank.');
  const own = plots.filter(({ treatment }) => treatment === 'c').map(({ code }) => code);
  // Four plots of 0.9 x 1 m.
  expect(said).toContain(`4 plots, 3.6 m²: ${own.join(', ')}`);
  for (const caution of cautions) expect(said).toContain(caution);
});

it('says what was not entered, and never makes it up', async () => {
  const bare = [{ id: 'u', name: 'Something', kind: 'unstated' as const }];
  const one = [{ code: 'K7', treatment: 'u' }];
  const sheet = await sprayerMapPdf({ ...base, paper: 'a4', plots: one, treatments: bare });
  const said = (await pageTexts(bytesOf(sheet))).flat();
  expect(said).toContain('Active ingredient: not entered. Rate: not entered.');
  expect(said).toContain('Not to scale: the places of the plots were not given.');
});

it('gives the same bytes for the same input', async () => {
  expect(Buffer.compare(await scorer('letter'), await scorer('letter'))).toBe(0);
  expect(Buffer.compare(await sprayer('a4'), await sprayer('a4'))).toBe(0);
  expect(Buffer.compare(await scoring('a4'), await scoring('a4'))).toBe(0);
});

it('refuses in words what can not be drawn', async () => {
  const none = { ...base, paper: 'a4' as const, plots: [] };
  for (const sheet of [
    await scorerMapPdf(none),
    await sprayerMapPdf({ ...none, treatments }),
    await scoringSheetPdf(none),
  ]) {
    expect(sheet).toMatchObject({ ok: false, problem: { what: 'The trial has no plots yet.' } });
  }
  const flat = { code: 'K7', place: { bed: 'n', x: 0, y: 0, width: 0, height: 1 } };
  const thin = await scorerMapPdf({ ...base, paper: 'a4', plots: [flat] });
  expect(thin).toMatchObject({ ok: false, problem: { code: 'no-size' } });
  const stray = [{ code: 'K7', treatment: 'x' }];
  const lost = await sprayerMapPdf({ ...base, paper: 'a4', plots: stray, treatments });
  expect(lost).toMatchObject({ ok: false, problem: { code: 'no-treatment' } });
  const ill = { ...base, paper: 'a4' as const, plots, diseases: ['a', 'b', 'c', 'd'] };
  expect(await scoringSheetPdf(ill)).toMatchObject({
    ok: false,
    problem: { code: 'many-diseases' },
  });
});

it('gives pen and paper a row a plant, with a plot kept together', async () => {
  const pages = await pageTexts(await scoring('letter'));
  const texts = pages.flat();
  for (const { code } of plots) expect(texts.filter((text) => text === code)).toHaveLength(3);
  for (const page of pages) {
    for (const { code } of plots) {
      expect([0, 3]).toContain(page.filter((text) => text === code).length);
    }
  }
  for (const head of ['Standing', 'Stripped', 'Lost, why', 'Note', 'Date', 'Scored by']) {
    expect(pages[0]).toContain(head);
  }
  expect(await allBytes(await scoring('a4'))).not.toMatch(/untreated|skim|copper/i);
});

it('parts a plot that no page can hold, and repeats its code', async () => {
  const plants = Array.from({ length: 70 }, (_, i) => `p${i + 1}`);
  const sheet = await scoringSheetPdf({ ...base, paper: 'a4', plots: [{ code: 'K7', plants }] });
  const pages = await pageTexts(bytesOf(sheet));
  expect(pages).toHaveLength(3);
  for (const plant of plants) expect(pages.flat()).toContain(plant);
});

it.skipIf(!hasPoppler)(
  `is read by pdftotext${hasPoppler ? '' : ` (${withoutPoppler})`}`,
  async () => {
    const [map = ''] = popplerPages(await sprayer('letter'));
    expect(map).toContain('Active ingredient: dried skim milk. Rate: 100 g/l.');
    const codes = popplerPages(await scorer('letter')).join(' ');
    for (const { code } of plots) expect(codes).toContain(code);
  },
);
