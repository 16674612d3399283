// The pages are held to the program: every example in README.md and docs/commands.md is run by the
// command line itself, and the flags and keys that docs/commands.md explains are those there are.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it, vi } from 'vitest';

type Ran = { readonly out: string; readonly err: string; readonly status: number };

/** Runs cli/src/main.ts anew with these arguments, as bin/fairbed.js does, and catches its streams. */
async function fairbed(args: readonly string[]): Promise<Ran> {
  const caught = { out: '', err: '' };
  const into =
    (stream: 'out' | 'err') =>
    (chunk: string | Uint8Array, done?: unknown): boolean => {
      caught[stream] += String(chunk);
      if (typeof done === 'function') (done as () => void)();
      return true;
    };
  const spies = [
    vi.spyOn(process.stdout, 'write').mockImplementation(into('out')),
    vi.spyOn(process.stderr, 'write').mockImplementation(into('err')),
  ];
  const [argv, exitCode] = [process.argv, process.exitCode];
  process.argv = ['node', 'fairbed', ...args];
  process.exitCode = 0;
  try {
    vi.resetModules();
    await import('../cli/src/main');
    return { ...caught, status: process.exitCode };
  } finally {
    for (const spy of spies) spy.mockRestore();
    process.argv = argv;
    process.exitCode = exitCode;
  }
}

type Block = { readonly language: string; readonly line: number; readonly lines: string[] };

/** Fenced blocks of a page in order; a heading stands between as `undefined`. */
function blocksOf(page: string): (Block | undefined)[] {
  const found: (Block | undefined)[] = [];
  let open: Block | undefined;
  for (const [i, text] of readFileSync(page, 'utf8').split('\n').entries()) {
    const fence = /^```(\w*)$/.exec(text);
    if (open === undefined && fence) open = { language: fence[1], line: i + 1, lines: [] };
    else if (open !== undefined && text === '```') {
      found.push(open);
      open = undefined;
    } else if (open !== undefined) open.lines.push(text);
    else if (/^#+ /.test(text)) found.push(undefined);
  }
  if (open !== undefined) throw new Error(`${page}, line ${open.line}: this block is never closed`);
  return found;
}

type Example = {
  readonly where: string;
  readonly args: readonly string[];
  readonly status: number;
  readonly shown: Block[];
};

/** Words of a command as a shell parts them; anything that only a shell can do is refused. */
function wordsOf(command: string): string[] {
  const words = [...command.matchAll(/"([^"$`\\]*)"|'([^']*)'|([^\s"'|<>&;$`\\]+)/g)];
  const rest = words.reduce((left, [word]) => left.replace(word, ''), command);
  if (rest.trim() !== '') throw new Error(`can't be run without a shell: ${command}`);
  // Exactly one of the three groups took part in each match.
  return words.map(
    (match) => match.slice(1).find((group: string | undefined) => group !== undefined) ?? '',
  );
}

/** Every `npx fairbed` line of the page's sh blocks, with the status and output the page states. */
function examplesOf(page: string): Example[] {
  const examples: Example[] = [];
  let last: Example | undefined;
  for (const block of blocksOf(page)) {
    if (block === undefined) last = undefined;
    else if (block.language !== 'sh') last?.shown.push(block);
    else {
      let status = 0;
      for (const line of block.lines) {
        status = Number(/^# exits (\d)$/.exec(line)?.[1] ?? status);
        if (!line.startsWith('npx fairbed ')) continue;
        const args = wordsOf(line).slice(2);
        last = { where: `${page}, line ${block.line}: ${line}`, args, status, shown: [] };
        examples.push(last);
        status = 0;
      }
    }
  }
  return examples;
}

/** As the eye sees it: spaces that do not break a line are spaces. */
const seen = (text: string): string[] =>
  text
    .replace(/[\u00a0\u2009\u202f]/g, ' ')
    .split('\n')
    .map((line) => line.trimEnd());

/** Lines of an output block stand in the output, whole and in order; `...` stands for any lines. */
function expectLines(shown: readonly string[], output: readonly string[]): void {
  let from = 0;
  for (const line of shown) {
    if (line === '' || line === '...') continue;
    const at = output.indexOf(line, from);
    expect(at, `not in the output, or not in this order: ${line}`).toBeGreaterThanOrEqual(0);
    from = at + 1;
  }
}

const commandsPage = 'docs/commands.md';

describe.each(['README.md', commandsPage])('the examples of %s', (page) => {
  const examples = examplesOf(page);

  it('are there', () => expect(examples.length).toBeGreaterThan(0));

  it.each(examples)('$where', async ({ args, status, shown }) => {
    const ran = await fairbed(args);
    expect(ran.status, ran.err).toBe(status);
    const output = seen(`${ran.err}\n${ran.out}`);
    for (const block of shown) {
      if (block.language === 'json')
        expect(JSON.parse(ran.out)).toMatchObject(JSON.parse(block.lines.join('\n')) as object);
      else expectLines(seen(block.lines.join('\n')), output);
    }
  });
});

const commandsText = readFileSync(commandsPage, 'utf8');
const flagsIn = (text: string): string[] => text.match(/--[a-z]+(?:-[a-z]+)*/g) ?? [];

describe('docs/commands.md', () => {
  it('explains every flag of every command, and none that is not there', async () => {
    const real = new Set<string>();
    for (const command of ['plan', 'judge', 'check', 'serve']) {
      for (const flag of flagsIn((await fairbed([command, '--help'])).out)) real.add(flag);
    }
    expect(real.size).toBeGreaterThan(20);
    const tables = commandsText.split('\n').filter((line) => line.startsWith('| `--'));
    const explained = new Set([...flagsIn(tables.join('\n')), '--help']);
    expect([...real].filter((flag) => !explained.has(flag))).toEqual([]);
    expect(flagsIn(commandsText).filter((flag) => !real.has(flag))).toEqual([]);
  });

  it('explains every key of the documents, and none that is not there', async () => {
    const real = new Set<string>();
    for (const args of documents) keysOf(JSON.parse((await fairbed(args)).out), real);
    const explained = keysExplained();
    expect([...real].filter((key) => !explained.all.has(key))).toEqual([]);
    expect(explained.first.filter((key) => !real.has(key))).toEqual([]);
  });
});

/** Runs that together show every part of the documents. */
const documents = [
  'plan --treatments A,B --control A --blocks 4 --seed 1 --simulations 20 --json',
  'plan --treatments A,B --control A --blocks 4 --seed 1 --measure grades --simulations 2 --json',
  'plan --treatments A,B --control A --blocks 4 --seed 1 --measure value --simulations 2 --json',
  'plan --treatments A,B --control A --blocks 1 --seed 1 --json',
  'plan --design split-plot --practice wide=A,B --practice close=C,D --blocks 4 --seed 1 --simulations 0 --json',
  'judge --demo --json',
  'judge --demo --outcome incidence-last --look r5 --json',
  'judge data/demo/leek-rust-one-plot-each.csv --outcome incidence-last --json',
  'judge data/demo/leek-rust-one-plot-each.csv --json',
  'judge data/open/grape-downy-mildew.csv --treatment trt --block block --plant vine,shoot --diseased diseased --leaves total --control T1 --json',
  'judge data/open/mungbean-fungicide-timing.csv --treatment treatment --block block --plot plot --grade 2015-03-31,2015-04-07 --grades 1,2,3,4,5,6,7,8,9 --control control --json',
  'judge packages/stats/oracle/inputs/ancova_4x5.csv --treatment trt --block block --value y --baseline-value base --control A --json',
  'judge packages/stats/oracle/inputs/survival_3x4x8.csv --treatment trt --block block --days time --happened status --json',
  'check packages/files/oracle/bad/4-wide-over-100-and-mean-row.tsv --json',
].map((command) => command.split(' '));

/** Parts whose keys are names from the trial. */
const keyedByName = new Set(['letters', 'sd']);

function keysOf(value: unknown, into: Set<string>): void {
  if (Array.isArray(value)) for (const item of value) keysOf(item, into);
  else if (typeof value === 'object' && value !== null) {
    for (const [key, inner] of Object.entries(value)) {
      into.add(key);
      if (!keyedByName.has(key)) keysOf(inner, into);
    }
  }
}

/** Names in backticks in the tables of keys: of first columns alone, and of all. */
function keysExplained(): { first: string[]; all: Set<string> } {
  const names = (text: string): string[] =>
    [...text.matchAll(/`([A-Za-z_][A-Za-z_0-9]*)`/g)].map(([, name]) => name);
  const rows = commandsText
    .split(/\n\| key +\| meaning +\|\n/)
    .slice(1)
    .flatMap((table) => (table.split('\n\n')[0] ?? '').split('\n').slice(1));
  return {
    first: rows.flatMap((row) => names(row.split('|')[1] ?? '')),
    all: new Set(rows.flatMap(names)),
  };
}

describe('the pages of docs', () => {
  const pages = readdirSync('docs').filter((file) => file.endsWith('.md'));

  it.each(pages)('%s links and points to what is there', (page) => {
    const text = readFileSync(join('docs', page), 'utf8');
    const links = [...text.matchAll(/\]\(([^)#]+)(?:#[^)]*)?\)/g)].map(([, to]) => to);
    const inside = links.filter((to) => !/^https?:/.test(to));
    expect(inside.filter((to) => !existsSync(join(dirname(`docs/${page}`), to)))).toEqual([]);
    const paths = [
      ...text.matchAll(/`((?:packages|cli|docs|data|app|tools|bench)\/[\w./-]+)`/g),
    ].map(([, path]) => path);
    expect(paths.filter((path) => !existsSync(path) && !builtLater.test(path))).toEqual([]);
  });

  it('are all named in docs/README.md', () => {
    const index = readFileSync('docs/README.md', 'utf8');
    const others = pages.filter((page) => page !== 'README.md');
    expect(others.filter((page) => !index.includes(`(${page})`))).toEqual([]);
  });
});

/** What a build makes, so that a fresh clone does not have it yet. */
const builtLater = /^(?:cli|app)\/dist(?:\/|$)/;
