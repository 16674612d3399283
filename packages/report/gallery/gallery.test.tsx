import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { ReactElement } from 'react';
import { expect, test } from 'vitest';
import { renderSvg } from '../src/index';
import { balances } from './balance.gallery';
import { maps } from './bed-map.gallery';
import { rounds } from './bed-round.gallery';
import { effects } from './effects.gallery';
import { marks } from './marks.gallery';
import { methods } from './methods.gallery';
import { plotValues } from './plot-values.gallery';
import { progressions } from './progress.gallery';

// The pictures under output/ are reviewed by eye before they are committed; this test holds the
// drawings to them. After a wanted change: FAIRBED_GALLERY=update npx vitest run packages/report,
// then look at every picture that changed.
const folder = fileURLToPath(new URL('./output/', import.meta.url));
const updates = process.env.FAIRBED_GALLERY === 'update';
mkdirSync(folder, { recursive: true });

type Examples = Readonly<Record<string, (width: number) => ReactElement>>;
const charts: Examples = {
  ...effects,
  ...progressions,
  ...balances,
  ...maps,
  ...rounds,
  ...plotValues,
  ...methods,
};

const sized = Object.entries(charts).flatMap(([name, draw]) =>
  [358, 900].map((width) => ({ name: `${name}-${width}`, chart: draw(width) })),
);
const unsized = Object.entries(marks).map(([name, draw]) => ({ name, chart: draw() }));

test.each([...sized, ...unsized])('$name is drawn as it was reviewed', ({ name, chart }) => {
  // A line an element, so that a change reads as one; never inside a text, where it would be a space.
  const svg = `${renderSvg(chart).replace(/>(?=<(?!tspan|\/text|\/tspan))/g, '>\n')}\n`;
  const file = `${folder}${name}.svg`;
  if (updates) writeFileSync(file, svg);
  expect(svg).toBe(readFileSync(file, 'utf8'));
});
