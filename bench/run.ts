import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { benchExact } from './exact';
import { benchMixed } from './mixed';
import { benchPackage } from './package';
import { benchNotebook } from './notebook';
import { benchRanking } from './ranking';
import { benchPower } from './power';
import { benchSeason } from './season';
import { benchSequential } from './sequential';
import { benchSheet } from './sheet';
import { benchTails } from './tails';
import { benchTrials } from './trials';
import type { Row } from './timing';

type Bench = {
  readonly title: string;
  readonly means: string;
  readonly rows: () => readonly Row[] | Promise<readonly Row[]>;
};

const BENCHES: Readonly<Record<string, Bench>> = {
  exact: {
    title: 'Relabelings of the exact test',
    means:
      'A million layouts drawn again within blocks, tables and random streams included, by the plain TypeScript and by the vector kernel; beside the coin package and beside R code vectorised over layouts. The last row visits every layout and makes every comparison; R only finds F.',
    rows: benchExact,
  },
  tails: {
    title: 'Tail areas',
    means:
      "Dunnett's p-value by integration beside mvtnorm's pmvt asked for 1e-8 with at most a million points: where it stops short, the ratio is too small, not too large. The studentised range at the reference points of packages/stats/oracle/k_numerics.json, with the worst relative error of both.",
    rows: benchTails,
  },
  mixed: {
    title: 'Counts and grades in mixed models',
    means: 'One fit, at the default settings of glmer (lme4) and clmm (ordinal).',
    rows: benchMixed,
  },
  sequential: {
    title: 'Bounds for looking several times',
    means:
      'Two-sided bounds at three error rates: O’Brien and Fleming, Pocock, Wang and Tsiatis, and three spending functions. R runs the same recursion with 200 points a look; ours takes as many points as 1e-12 needs, and both agree to 1e-9.',
    rows: benchSequential,
  },
  trials: {
    title: 'Simulated trials of counts',
    means:
      'Drawing 1,000 trials of 4 treatments in 4 blocks, 72 leaves a plot, and fitting each with and without treatments (binomial mixed model, random block and plot): one thread, one layout, nothing kept of a trial but its test. Processor time on both sides, compiling and clearing up included.',
    rows: benchTrials,
  },
  ranking: {
    title: 'The chance of being the best',
    means:
      'A hierarchical model of counts, integrated without random numbers, to the quality of 4 chains of 1,000 draws. The peer, rstanarm, is not run: its time is the one recorded with the answers, of another run on this kind of machine. Ours is processor time.',
    rows: benchRanking,
  },
  power: {
    title: 'The chance of a planned trial',
    means:
      'Trials made up plant by plant and each judged by the decision of a real one, in processor time. No peer; a grower is to have the first figures within 0.3 s and a thousand trials within 5 s.',
    rows: benchPower,
  },
  sheet: {
    title: 'A sheet to a verdict',
    means:
      '5 treatments, 10 blocks, 20 plants a plot and 100 rounds of leaf counts: reading the bytes, guessing the columns, building the trial and judging it with exact test and models, beside Papa Parse splitting the same text into cells. The target is 1.5 times the time of parsing, a ratio of 0.67.',
    rows: benchSheet,
  },
  package: {
    title: 'A season out and in',
    means:
      '30 plots of 5 plants at 20 rounds, 8 figures each: 24,000 entries of the ledger, with the tables and the trial, to a data package and back, every part held against its checksum and every photo against its hash. The package may be 1 MB without photos.',
    rows: benchPackage,
  },
  notebook: {
    title: 'The ledger of a season',
    means:
      '30 plots, 5 plants, 8 figures a plant and 20 rounds: entries as a store gives them, added to a book, folded and asked. For information; no other ledger is timed.',
    rows: benchNotebook,
  },
  season: {
    title: 'A season on a phone',
    means:
      'The built app in Chromium, its processor slowed down fourfold, with a season brought in as a file: 30 plots of 5 plants, 8 figures at each of 20 rounds. From the shelf, a plant of the last round is opened and painted with nothing of the season in memory; a figure is kept from when it is written until its transaction on disk has ended; a history from the tap until it is painted.',
    rows: benchSeason,
  },
};

/** The ratios asked for, by the part of a name that they hold for; the other rows carry their own. */
const TARGETS: readonly (readonly [RegExp, number])[] = [
  [/^4x4.*R coin: TypeScript/, 15],
  [/^6x5.*R coin: TypeScript/, 6],
  [/^4x4.*vectorised R: TypeScript/, 80],
  [/^6x5.*vectorised R: TypeScript/, 38],
];

const targetOf = ({ name, target }: Row): number | undefined =>
  target ?? TARGETS.find(([names]) => names.test(name))?.[1];

const inMs = (ms: number | null): string =>
  ms === null ? '-' : `${ms < 10 ? ms.toPrecision(2) : ms.toFixed(0)} ms`;

const asRatio = (ratio: number | null | undefined): string => {
  if (ratio === null || ratio === undefined) return '-';
  return ratio < 10 ? ratio.toPrecision(2) : ratio.toFixed(0);
};

const targetText = (row: Row): string =>
  row.mostMs === undefined ? asRatio(targetOf(row)) : `${row.mostMs} ms`;

function met(row: Row): string {
  if (row.mostMs !== undefined) return row.oursMs <= row.mostMs ? 'yes' : 'no';
  const target = targetOf(row);
  if (target === undefined) return '-';
  if (row.ratio === null) return 'not measured';
  return row.ratio >= target ? 'yes' : 'no';
}

const HEAD = ['What, and beside what', 'Ours', 'Peer', 'Ratio', 'Target', 'Met'];

const cellsOf = (row: Row): readonly string[] => [
  row.name,
  inMs(row.oursMs),
  inMs(row.peerMs),
  asRatio(row.ratio),
  targetText(row),
  met(row),
];

function plainTable(rows: readonly Row[]): string {
  const table = [HEAD, ...rows.map(cellsOf)];
  const widths = HEAD.map((_, i) => Math.max(...table.map((cells) => cells[i].length)));
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, i) => (i === 0 ? cell.padEnd(widths[i]) : cell.padStart(widths[i])))
      .join('  ');
  const lines = rows.flatMap((row, i) => [
    line(table[i + 1]),
    ...(row.note === undefined ? [] : [`    ${row.note}`]),
  ]);
  return [line(HEAD), ...lines].join('\n');
}

/** As the formatter of the repository lays tables out, so that a new page needs no other tool. */
function pageTable(rows: readonly Row[]): string {
  const table = [HEAD, ...rows.map(cellsOf)];
  const widths = HEAD.map((_, i) => Math.max(3, ...table.map((cells) => cells[i].length)));
  const line = (cells: readonly string[]) =>
    `| ${cells.map((cell, i) => cell.padEnd(widths[i])).join(' | ')} |`;
  const rule = line(widths.map((width) => '-'.repeat(width)));
  const notes = rows.flatMap(({ name, note }) =>
    note === undefined ? [] : [`- ${name}: ${note}.`],
  );
  return [
    line(HEAD),
    rule,
    ...table.slice(1).map(line),
    ...(notes.length > 0 ? [''] : []),
    ...notes,
  ].join('\n');
}

/** R with the packages that the benches use, as one line; undefined where there is no R. */
function versionOfR(): string | undefined {
  const code = `cat(R.version.string); for (p in c("coin", "mvtnorm", "lme4", "ordinal")) cat(",", p, if (requireNamespace(p, quietly = TRUE)) as.character(packageVersion(p)) else "missing")`;
  const { status, stdout } = spawnSync('Rscript', ['-e', code], { encoding: 'utf8' });
  return status === 0 ? stdout.trim() : undefined;
}

const versionOf = (name: string): string =>
  (
    JSON.parse(
      readFileSync(new URL(`../node_modules/${name}/package.json`, import.meta.url), 'utf8'),
    ) as { version: string }
  ).version;

type Circumstances = {
  readonly day: string;
  readonly r: string | undefined;
  readonly load: string;
};

const machine = ({ day, r, load }: Circumstances): string =>
  [
    `- ${day}; ${cpus()[0]?.model.trim() ?? 'unknown processor'}, ${cpus().length} processors`,
    `- Node ${process.versions.node}, Papa Parse ${versionOf('papaparse')}`,
    `- ${r ?? 'R was not installed: every row beside R is without a peer. On Debian: sudo apt-get install r-base-core r-cran-coin r-cran-mvtnorm r-cran-lme4 r-cran-ordinal'}`,
    `- load average (1, 5, 15 minutes) before and after: ${load}`,
  ].join('\n');

const INTRO = `# Benchmarks

Written by \`npm run bench\`, which takes about four minutes; \`npm run bench -- exact\` runs one part and only prints. R is timed in the same run on the same machine, just before us, by processor time, while our own times are by the clock: a busy machine can lower a ratio beside R, not raise it. The CSV library takes turns with us. Read the ratios (peer / ours; above 1 we are faster): the milliseconds belong to this machine at that moment. Every figure is a median of several runs after a warm-up, and every result is used.
`;

const page = (parts: readonly (readonly [Bench, readonly Row[]])[], seen: Circumstances): string =>
  [
    INTRO,
    `${machine(seen)}\n`,
    ...parts.map(([{ title, means }, rows]) => `## ${title}\n\n${means}\n\n${pageTable(rows)}\n`),
  ].join('\n');

const load = (): string =>
  loadavg()
    .map((value) => value.toFixed(1))
    .join(' ');

async function main(words: readonly string[]): Promise<void> {
  const unknown = words.filter((word) => !(word in BENCHES));
  if (unknown.length > 0) {
    console.error(
      `No bench is called ${unknown.join(', ')}. There are: ${Object.keys(BENCHES).join(', ')}.`,
    );
    process.exitCode = 1;
    return;
  }
  const before = load();
  const names = Object.keys(BENCHES).filter((name) => words.length === 0 || words.includes(name));
  const parts: (readonly [Bench, readonly Row[]])[] = [];
  for (const name of names) {
    const bench = BENCHES[name];
    const rows = await bench.rows();
    console.log(`\n${bench.title}\n${plainTable(rows)}`);
    parts.push([bench, rows]);
  }
  const day = new Date().toISOString().slice(0, 10);
  const seen = { day, r: versionOfR(), load: `${before}, ${load()}` };
  console.log(`\n${machine(seen)}`);
  if (words.length > 0) return;
  writeFileSync(new URL('../docs/benchmarks.md', import.meta.url), page(parts, seen));
  console.log('\nWritten to docs/benchmarks.md.');
}

await main(process.argv.slice(2));
