import type { Names } from './names';
import type { RowBook } from './rowbook';
import { say } from './say';

/** Letters to insert, drop, change or swap with their neighbour to get from one text to the other. */
export function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let previous = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const current = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let least = Math.min(
        (previous[j] ?? 0) + 1,
        (current[j - 1] ?? 0) + 1,
        (previous[j - 1] ?? 0) + (same ? 0 : 1),
      );
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        least = Math.min(least, (before[j - 2] ?? 0) + 1);
      }
      current.push(least);
    }
    before = previous;
    previous = current;
  }
  return previous[b.length] ?? 0;
}

const letters = (text: string): string => text.toLowerCase().replace(/[^\p{L}]/gu, '');
const figures = (text: string): string => text.replace(/[^\d.,+%]/g, '');

/**
 * True where two names look like one name spelt twice: the same once hyphens and the like are gone,
 * or one letter apart in five or more, two in nine or more. Names whose figures differ ("2 g/L",
 * "3 g/L") or that are short ("A", "T1") are different names.
 */
export function looksAlike(a: string, b: string): boolean {
  if (Math.abs(a.length - b.length) > 8 || figures(a) !== figures(b)) return false;
  const [x, y] = [letters(a), letters(b)];
  if (x === y) return x.length > 0;
  const shorter = Math.min(x.length, y.length);
  if (shorter < 5 || Math.abs(x.length - y.length) > 2) return false;
  // "cultivar A", "cultivar B": a word of one letter that differs is a name, not a slip.
  if (singles(a) !== singles(b)) return false;
  return editDistance(x, y) <= (shorter >= 9 ? 2 : 1);
}

const singles = (text: string): string =>
  (text.toLowerCase().match(/(?<![\p{L}])\p{L}(?![\p{L}])/gu) ?? []).join('');

export type TreatmentNames = readonly { readonly written: string; readonly means: string }[];

/**
 * Follows the grower's answers, then asks of every rare name that looks like a commoner one. Until
 * it is answered the rows of the rarer spelling are set aside: as a treatment of their own, or
 * merged unasked, they would make a figure that looks right and is not. Two names that stand in the
 * same block are two treatments; without blocks the rarer must have less than half the rows.
 */
export function settleTreatments(
  names: Names,
  blocks: Names | undefined,
  answers: TreatmentNames,
  at: { readonly book: RowBook; readonly column: string },
): Names {
  const answered = renamed(names, answers);
  const told = new Set(answers.map((a) => a.written.toLowerCase()));
  const inBlocks = blocksOf(answered, blocks);
  const waiting = new Map<number, number>();
  answered.labels.forEach((label, rare) => {
    if (told.has(label.toLowerCase()) || (answered.counts[rare] ?? 0) === 0) return;
    const like = answered.labels.findIndex(
      (other, common) =>
        common !== rare && mayBeOne(answered, rare, common, inBlocks) && looksAlike(label, other),
    );
    if (like >= 0) waiting.set(rare, like);
  });
  if (waiting.size > 0) askSpelling(answered, waiting, at);
  return answered;
}

function askSpelling(
  names: Names,
  waiting: ReadonlyMap<number, number>,
  at: { readonly book: RowBook; readonly column: string },
): void {
  const { book, column } = at;
  const asked = new Set<number>();
  for (let row = 0; row < names.of.length; row++) {
    const rare = names.of[row] as number;
    const like = waiting.get(rare);
    if (like === undefined) continue;
    book.setAsideAlso(row);
    if (asked.has(rare)) continue;
    asked.add(rare);
    const [written, means] = [names.labels[rare] ?? '', names.labels[like] ?? ''];
    const where = { file: book.table.file, row: book.shown(row), column };
    book.add(say('spelt-two-ways', where, written, means, names.counts[rare] ?? 0));
  }
}

function mayBeOne(
  names: Names,
  rare: number,
  common: number,
  inBlocks: readonly ReadonlySet<number>[] | undefined,
): boolean {
  const [few, many] = [names.counts[rare] ?? 0, names.counts[common] ?? 0];
  if (few > many || (few === many && rare < common)) return false;
  if (inBlocks === undefined) return few * 2 < many || few === 1;
  const there = inBlocks[common];
  return ![...(inBlocks[rare] ?? [])].some((block) => there?.has(block));
}

function blocksOf(names: Names, blocks: Names | undefined): Set<number>[] | undefined {
  if (blocks === undefined || blocks.labels.length < 2) return undefined;
  const sets = names.labels.map(() => new Set<number>());
  for (let row = 0; row < names.of.length; row++) {
    const block = blocks.of[row] as number;
    if (block >= 0) sets[names.of[row] as number]?.add(block);
  }
  return sets;
}

function renamed(names: Names, answers: TreatmentNames): Names {
  const target = names.labels.map((label, i) => {
    const means = answers.find((a) => a.written.toLowerCase() === label.toLowerCase())?.means;
    const found =
      means === undefined
        ? -1
        : names.labels.findIndex((l) => l.toLowerCase() === means.toLowerCase());
    return found < 0 ? i : found;
  });
  if (target.every((t, i) => t === i)) return names;
  const counts = names.labels.map(() => 0);
  names.counts.forEach((n, i) => {
    const t = target[i] ?? i;
    counts[t] = (counts[t] ?? 0) + n;
  });
  return { labels: names.labels, counts, of: names.of.map((i) => (i < 0 ? i : (target[i] ?? i))) };
}
