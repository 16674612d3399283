import type { Places, Plots } from './plots';
import type { RowBook } from './rowbook';
import type { Units } from './scores';
import { say } from './say';

const listed = 12;

/** Notes what a complete trial would have and this sheet has not: plots in blocks, plots at rounds. */
export function noteMissing(of: {
  readonly book: RowBook;
  readonly places: Places;
  readonly plots: Plots;
  readonly units: Units;
  /** 1 at round times plots plus plot, where the plot was scored. */
  readonly seen: Uint8Array;
}): void {
  missingInBlocks(of.places, of.plots, of.book);
  missingAtRounds(of.units, of.seen, of.book);
}

function missingInBlocks(places: Places, plots: Plots, book: RowBook): void {
  const blocks = [...new Set(plots.list.map((p) => p.block))].filter((b) => b >= 0);
  const treatments = [...new Set(plots.list.map((p) => p.treatment))];
  const size = blocks.length * treatments.length;
  if (blocks.length < 2 || size > 100_000) return;
  const there = new Set(
    plots.list.map((p) => p.block * places.treatment.labels.length + p.treatment),
  );
  const missing = blocks.flatMap((b) =>
    treatments
      .filter((t) => !there.has(b * places.treatment.labels.length + t))
      .map((t) => ({
        block: places.block?.labels[b] ?? '',
        treatment: places.treatment.labels[t] ?? '',
      })),
  );
  const file = book.table.file;
  if (missing.length > listed || missing.length > size / 4) {
    book.add(say('blocks-incomplete', { file }, missing.length, size));
    return;
  }
  for (const m of missing) book.add(say('plot-missing', { file }, m.treatment, m.block));
}

function missingAtRounds(units: Units, seen: Uint8Array, book: RowBook): void {
  const { plots, rounds } = units;
  if (rounds.length < 2 || plots.list.length * rounds.length > 1_000_000) return;
  const missing = rounds.flatMap((round, r) =>
    plots.list
      .filter((_, p) => seen[r * plots.list.length + p] !== 1)
      .map((p) => ({ plot: p.id, round: round.day ?? round.name ?? round.id })),
  );
  const file = book.table.file;
  if (missing.length > listed)
    book.add(say('rounds-incomplete', { file }, missing.length, plots.list.length * rounds.length));
  else for (const m of missing) book.add(say('not-at-round', { file }, m.plot, m.round));
}
