import { readFileSync } from 'node:fs';
import { guessMapping, readTable, tableToTrial } from '@fairbed/files';
import { createRandom } from '@fairbed/stats';
import { readTrialText } from '@fairbed/trial';
import { judge } from '@fairbed/verdict';
import Papa from 'papaparse';
import { alternately, median, type Row } from './timing';

const TREATMENTS = ['Untreated', 'Water only', 'Potassium bicarbonate', 'Wide spacing', 'Copper'];
const BLOCKS = 10;
const PLANTS = 20;
const ROUNDS = 100;

const DEMO = new URL('../data/demo/chard-leaf-spot.json', import.meta.url);

/** 100,000 rows of counts as a spreadsheet writes them: 5 treatments, 10 blocks, 20 plants, 100 rounds. */
function bigSheet(): string {
  const random = createRandom(20261125);
  const lines = ['Date,Block,Plot,Treatment,Plant,Leaves,Diseased'];
  const first = Date.UTC(2026, 3, 6);
  for (let round = 0; round < ROUNDS; round++) {
    const date = new Date(first + round * 86_400_000).toISOString().slice(0, 10);
    for (let block = 1; block <= BLOCKS; block++) {
      TREATMENTS.forEach((treatment, t) => {
        for (let plant = 1; plant <= PLANTS; plant++) {
          const leaves = 8 + random.below(10);
          const share = (0.1 + (0.5 * round) / ROUNDS) * (1 - 0.12 * t);
          let diseased = 0;
          for (let leaf = 0; leaf < leaves; leaf++) diseased += random.uniform() < share ? 1 : 0;
          const plot = `${block}${'ABCDE'[(t + block) % 5]}`;
          lines.push(`${date},${block},${plot},${treatment},${plant},${leaves},${diseased}`);
        }
      });
    }
  }
  return `${lines.join('\n')}\n`;
}

/** A share of the time of parsing alone: a verdict may take half as long again. */
const MOST_OF_PARSING = 1.5;

function judgeSheet(bytes: Uint8Array): { readonly rows: number; readonly ms: readonly number[] } {
  const marks = [performance.now()];
  const { table } = readTable(bytes, 'big.csv');
  if (table === undefined) throw new Error('the sheet could not be read');
  marks.push(performance.now());
  const { trial, rows } = tableToTrial(table, guessMapping(table).mapping);
  marks.push(performance.now());
  const judgement = judge(trial, { brief: true });
  marks.push(performance.now());
  if (judgement.verdict.sentence === '' || rows.used !== rows.read) {
    throw new Error(`the sheet was not judged: ${rows.used} of ${rows.read} rows used`);
  }
  return { rows: rows.used, ms: marks.slice(1).map((mark, i) => mark - marks[i]) };
}

/** Where the time of one judgement went: reading the table, building the trial, judging it. */
function partsOf(bytes: Uint8Array): string {
  const runs = Array.from({ length: 5 }, () => judgeSheet(bytes).ms);
  const [read, built, judged] = [0, 1, 2].map((i) => median(runs.map((ms) => ms[i])));
  const ms = (value: number) => `${value.toFixed(0)} ms`;
  return `reading the table ${ms(read)}, building the trial ${ms(built)}, judging ${ms(judged)}`;
}

/** The same layout with its last round alone: what a verdict costs whatever the number of rows. */
function judgeOneRound(text: string): () => number {
  const [heading, ...lines] = text.trimEnd().split('\n');
  const bytes = new TextEncoder().encode([heading, ...lines.slice(-1000)].join('\n'));
  return () => judgeSheet(bytes).rows;
}

/** A sheet of 100,000 rows to a verdict beside parsing its text alone; the demo to a verdict. */
export function benchSheet(): readonly Row[] {
  const text = bigSheet();
  const bytes = new TextEncoder().encode(text);
  const works = [() => judgeSheet(bytes).rows, () => Papa.parse(text).data.length];
  const [oursMs, peerMs] = alternately(works, { warm: 3, rounds: 9 });
  const [roundMs] = alternately([judgeOneRound(text)], { warm: 3, rounds: 9 });
  const demo = readFileSync(DEMO, 'utf8');
  const judgeDemo = (): number => {
    const read = readTrialText(demo);
    if (!read.ok) throw new Error('the demo could not be read');
    return judge(read.trial).outcomes.length;
  };
  const [demoMs] = alternately([judgeDemo], { warm: 5, rounds: 15 });
  return [
    {
      name: '100,000 rows of CSV to a verdict, Papa Parse alone',
      oursMs,
      peerMs,
      ratio: peerMs / oursMs,
      target: 1 / MOST_OF_PARSING,
      note: partsOf(bytes),
    },
    {
      name: 'the last round of that sheet, 1,000 rows, to a verdict',
      oursMs: roundMs,
      peerMs: null,
      ratio: null,
      note: 'exact test and models, which do not grow with the rounds',
    },
    { name: 'the demo trial to a verdict', oursMs: demoMs, peerMs: null, ratio: null },
  ];
}
