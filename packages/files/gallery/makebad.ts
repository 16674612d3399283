import { writeFileSync } from 'node:fs';
import { type Made, makeWorkbook } from './makeworkbook';

// Writes the one bad sheet that is a workbook: npx tsx packages/files/gallery/makebad.ts
const treatments = ['water only', 'potassium bicarbonate', 'nettle extract', 'wide rows'];
const rows: Made[][] = [
  ['Spinach beet trial, north garden', null, null, null, null, null],
  [
    { shared: 'plot' },
    { shared: 'treatment' },
    { shared: 'block' },
    { shared: 'scored on' },
    { shared: 'leaves' },
    { shared: 'diseased' },
  ],
];
// 46146 is 4 May 2026 in the 1900 system.
for (const day of [46146, 46153]) {
  for (let plot = 1; plot <= 12; plot++) {
    const leaves = 10 + ((plot * 7 + day) % 9);
    rows.push([
      plot,
      treatments[(plot * 3 + Math.floor((plot - 1) / 4)) % 4] ?? '',
      `block ${Math.ceil(plot / 4)}`,
      { date: day },
      leaves,
      (plot * 5 + day) % 6,
    ]);
  }
}
const at = (row: number): Made[] => rows[row - 1] ?? [];
at(9)[5] = { formula: 'E9-4' };
at(20)[1] = at(20)[1] === 'wide rows' ? 'water only' : 'wide rows';
writeFileSync(
  new URL('../oracle/bad/5-formula-and-swapped-plot.xlsx', import.meta.url),
  makeWorkbook([{ name: 'Scores', rows, merges: ['A1:F1'] }]),
);
