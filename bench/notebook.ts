import { type Book, createBook, createPen, type Entry, type Kind } from '@fairbed/notebook';
import { alternately, type Row } from './timing';

const PLOTS = 30;
const PLANTS = 5;
const ROUNDS = 20;
/** Of one plant at one round: standing, diseased, stripped, lost, severity, injury, vigour, stage. */
const FIELDS = 8;
const FIRST = 1_790_000_000_000;

const kinds: readonly Kind[] = [
  {
    name: 'score',
    version: 1,
    read: (_, value) => (typeof value === 'number' ? undefined : 'not a number'),
  },
];

/** A season as two phones write it: every figure of every plant once, in walking order. */
function season(): readonly Entry[] {
  const book = createBook(kinds);
  let ms = FIRST;
  const pens = ['phone1', 'phone2'].map((writer) =>
    createPen({ writer, who: () => writer, now: () => (ms += 1_500), book }),
  );
  for (let round = 1; round <= ROUNDS; round++) {
    for (let plot = 1; plot <= PLOTS; plot++) {
      for (let plant = 1; plant <= PLANTS; plant++) {
        for (let field = 0; field < FIELDS; field++) {
          const thing = `r${round}/B${plot}/${plant}/rust/f${field}`;
          pens[plot % 2].write('score', thing, (plot * plant + round) % 17);
        }
      }
    }
  }
  return book.entries();
}

/** The same figures, but each thing written anew in all rounds: one long history a plant. */
function rewritten(): readonly Entry[] {
  const book = createBook(kinds);
  let ms = FIRST;
  const pen = createPen({ writer: 'phone1', who: () => '', now: () => (ms += 1_500), book });
  for (let n = 0; n < PLOTS * PLANTS * ROUNDS * FIELDS; n++) {
    pen.write('score', `B${n % (PLOTS * PLANTS * FIELDS)}`, n % 17);
  }
  return book.entries();
}

const filled = (entries: readonly unknown[]): Book => {
  const book = createBook(kinds);
  const { refused } = book.add(entries);
  if (refused.length > 0) throw new Error(refused[0].problem.what);
  return book;
};

/** As a store gives them: fresh objects, in no order of the clock. */
const stored = (entries: readonly Entry[]): readonly unknown[] =>
  (JSON.parse(JSON.stringify(entries)) as Entry[]).toSorted((a, b) => (a.id < b.id ? -1 : 1));

const row = (name: string, oursMs: number, note?: string): Row => ({
  name,
  oursMs,
  peerMs: null,
  ratio: null,
  ...(note === undefined ? {} : { note }),
});

/** Adding, folding and asking of a season of 24,000 entries, for information. */
export function benchNotebook(): readonly Row[] {
  const entries = stored(season());
  const again = stored(rewritten());
  const full = filled(entries);
  const long = filled(again);
  let n = 0;
  const pen = createPen({ writer: 'pen', who: () => '', now: () => FIRST + n, book: long });
  const works = [
    () => filled(entries).size(),
    () => filled(entries).things('score').length,
    () => filled(again).things('score').length,
    () => full.add(entries).fresh.length,
    () => {
      let sum = 0;
      for (let i = 0; i < 1_000; i++) sum += long.history('score', `B${i}`).length;
      return sum;
    },
    () => {
      for (let i = 0; i < 1_000; i++) pen.write('score', `B${i}`, n++ % 17);
      return long.things('score').length;
    },
  ];
  const [add, fold, foldAgain, same, history, write] = alternately(works, { warm: 3, rounds: 9 });
  const count = entries.length.toLocaleString('en-GB');
  return [
    row(`${count} entries added to an empty book`, add, 'read, checked and put in place'),
    row(`${count} entries added and folded, ${full.things('score').length} things`, fold),
    row(`${count} entries added and folded, ${long.things('score').length} things`, foldAgain),
    row(`the same ${count} entries added again`, same, 'every one found to be there'),
    row('the history of 1,000 things, 20 entries each', history),
    row('1,000 entries written, then folded', write),
  ];
}
