import type { RecordSource, Written } from './source';

/** What a test writes down: kind, thing, value, and the day on which (at noon by world time). */
export type Line = readonly [
  kind: string,
  thing: string,
  value: unknown,
  day?: string | undefined,
  who?: string,
];

const firstMs = Date.UTC(2026, 4, 1, 12);

/** A clock as a notebook makes it: milliseconds and a counter in base 36, then the writer. */
const clockOf = (ms: number, counter: number): string =>
  `${ms.toString(36).padStart(9, '0')}${counter.toString(36).padStart(4, '0')}-test`;

/** A ledger in memory, the last line of a thing standing: what a notebook's book gives a trial. */
export function ledgerOf(lines: readonly Line[]): RecordSource {
  const all = new Map<string, Map<string, Written[]>>();
  let ms = firstMs;
  lines.forEach(([kind, thing, value, day, who = ''], i) => {
    if (day !== undefined) ms = Date.parse(`${day}T12:00:00Z`);
    const things = all.get(kind) ?? new Map<string, Written[]>();
    all.set(kind, things);
    const entries = things.get(thing) ?? [];
    things.set(thing, entries);
    entries.push({ value, who, clock: clockOf(ms, i) });
    entries.sort((a, b) => (a.clock < b.clock ? -1 : 1));
  });
  const everWritten: RecordSource['everWritten'] = (kind) =>
    [...(all.get(kind) ?? [])]
      .sort(([, a], [, b]) => ((a[0]?.clock ?? '') < (b[0]?.clock ?? '') ? -1 : 1))
      .flatMap(([thing, entries]) => {
        const last = entries.at(-1);
        return last === undefined ? [] : [[thing, last] as const];
      });
  return {
    things: (kind) => everWritten(kind).filter(([, { value }]) => value !== null),
    everWritten,
    history: (kind, thing) => all.get(kind)?.get(thing) ?? [],
  };
}

const treatments = [
  { id: 'none', name: 'Untreated', kind: 'untreated' },
  { id: 'copper', name: 'Copper', kind: 'product', rate: { amount: 2, unit: 'g/L' } },
];

/** Two blocks of two plots, planned and drawn but not sealed. */
export const plannedLines: readonly Line[] = [
  ['plan', 'title', 'Copper on chard', '2026-05-01'],
  ['plan', 'question', 'Does copper halve the rust?'],
  ['plan', 'diseases', [{ id: 'rust', name: 'White rust' }]],
  ['plan', 'beds', [{ id: 'long', name: 'Long bed', width: 6, height: 1 }]],
  ['plan', 'treatments', treatments],
  ['plan', 'control', 'none'],
  ['plan', 'outcome', 'audpc-incidence'],
  ['plan', 'worthHaving', 30],
  ['plan', 'stripping', 'all-diseased'],
  ['plan', 'rounds', { count: 4, everyDays: 7, firstDay: '2026-06-01' }],
  ['plan', 'plantsPerPlot', 2],
  [
    'draw',
    '1',
    {
      seed: 7,
      day: '2026-05-02',
      request: { kind: 'randomised-blocks', treatments: ['none', 'copper'], blocks: 2 },
      layout: [
        { plot: '1', code: 'K7', treatment: 'none', block: 'A' },
        { plot: '2', code: 'M3', treatment: 'copper', block: 'A' },
        { plot: '3', code: 'R9', treatment: 'copper', block: 'B' },
        { plot: '4', code: 'T4', treatment: 'none', block: 'B' },
      ],
    },
  ],
];
