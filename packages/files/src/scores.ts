import type { Problem } from '@fairbed/field';
import type { Round, Score } from '@fairbed/trial';
import { cellFault, type Measured } from './measured';
import type { Names } from './names';
import type { Plots } from './plots';
import type { RowBook } from './rowbook';
import type { Column } from './table';
import { say } from './say';

/**
 * What is scored of a row at one time: in a long sheet one slot holds all measures; in a wide sheet
 * each round (or plant) that has columns of its own is a slot.
 */
export type Slot = {
  readonly measured: readonly Measured[];
  /** Index of the round the slot's columns belong to; undefined: the row's own. */
  readonly round?: number;
  /** Ids of the plants by plot index, where the slot's columns belong to one plant. */
  readonly plantOfPlot?: readonly string[];
  /** True where a bad cell sets aside only itself, its row having other rounds. */
  readonly wide: boolean;
};

export type Units = {
  readonly plots: Plots;
  /** Index of each row's plant over all plots; -1 where none is named. */
  readonly plantOf: Int32Array | undefined;
  readonly plantIds: readonly string[];
  readonly plotOfPlant: readonly number[];
  readonly rounds: readonly Round[];
  readonly roundOf: Int32Array;
  /** Parts (shoots, samples) that tell rows of one plot or plant apart. */
  readonly parts: Pick<Names, 'labels' | 'of'> | undefined;
};

const find = (slot: Slot, measure: Measured['measure']): Measured | undefined =>
  slot.measured.find((m) => m.measure === measure);

/** Cells (a row of a slot) that a fault sets aside: the whole row in a long sheet. */
export function setAsideBadCells(slot: Slot, book: RowBook): { aside: Uint8Array; cells: number } {
  const aside = slot.wide ? new Uint8Array(book.table.rows) : book.aside;
  let cells = 0;
  const refuse = (row: number, reason: ReturnType<typeof cellFault>): void => {
    if (slot.wide) {
      cells++;
      if (reason) book.add(reason);
    } else if (reason) book.setAside(row, reason);
    else book.setAsideAlso(row);
  };
  for (const m of slot.measured) {
    if (!m.anyBad) continue;
    for (let row = 0; row < book.table.rows; row++) {
      const code = m.column.codes[row] as number;
      if (m.bad[code] === 1 && book.noData[row] === 0) refuse(row, cellFault(m, code, row, book));
    }
  }
  const leaves = find(slot, 'leaves');
  for (const measure of ['diseased', 'stripped'] as const) {
    const part = find(slot, measure);
    if (!leaves || !part) continue;
    for (const { row, reason } of overCounts({ part, whole: leaves }, measure, book)) {
      refuse(row, reason);
      aside[row] = 1;
    }
  }
  return { aside, cells };
}

/** More diseased (or stripped) leaves than there are leaves is a slip of the pen. */
function overCounts(
  pair: { part: Measured; whole: Measured },
  measure: 'diseased' | 'stripped',
  book: RowBook,
): { row: number; reason: Problem }[] {
  const { part, whole } = pair;
  const over: { row: number; reason: Problem }[] = [];
  for (let row = 0; row < book.table.rows; row++) {
    const a = part.figures[part.column.codes[row] as number] as number;
    const b = whole.figures[whole.column.codes[row] as number] as number;
    // NaN (not scored) compares as false.
    if (!(a > b) || book.noData[row] === 1) continue;
    const where = { file: book.table.file, row: book.shown(row), column: part.column.name };
    over.push({
      row,
      reason: say(measure === 'diseased' ? 'diseased-over' : 'stripped-over', where, a, b),
    });
  }
  return over;
}

const setters: Record<string, (score: Score, n: number) => void> = {
  diseased: (s, n) => (s.diseased = n),
  leaves: (s, n) => (s.standing = n),
  stripped: (s, n) => (s.stripped = n),
  lost: (s, n) => (s.lost = n > 0 ? [{ leaves: n, why: 'unknown' }] : []),
  severity: (s, n) => (s.severity = n),
  grade: (s, n) => (s.grade = n),
  injury: (s, n) => (s.injury = n),
  vigour: (s, n) => (s.vigour = n),
  stage: (s, n) => (s.stage = n),
  value: (s, n) => (s.value = n),
  baseline: (s, n) => (s.baseline = n),
};

type Part = {
  readonly codes: Int32Array;
  readonly figures: Float64Array;
  readonly set: (score: Score, n: number) => void;
};

/**
 * Adds the scores of one slot to `scores`: one a row that has any figure or note. `at.seen` gets a 1
 * at round times plots plus plot, for each plot scored at a round.
 */
export function addScores(
  scores: Score[],
  slot: Slot,
  units: Units,
  at: {
    readonly book: RowBook;
    readonly aside: Uint8Array;
    readonly note?: Column | undefined;
    readonly seen: Uint8Array;
  },
): void {
  const { book, aside, note, seen } = at;
  const plotIds = units.plots.list.map((p) => p.id);
  const roundIds = units.rounds.map((r) => r.id);
  const parts = slot.measured.map((m): Part => {
    return {
      codes: m.column.codes,
      figures: m.figures,
      set: setters[m.measure] ?? (() => undefined),
    };
  });
  const full = fullScore(parts, slot.plantOfPlot !== undefined || units.plantOf !== undefined);
  for (let row = 0; row < book.table.rows; row++) {
    if (book.aside[row] === 1 || aside[row] === 1) continue;
    const plot = units.plots.of[row] as number;
    const round = slot.round ?? units.roundOf[row] ?? 0;
    const plant =
      slot.plantOfPlot?.[plot] ??
      (units.plantOf ? units.plantIds[units.plantOf[row] as number] : undefined);
    let figures = 0;
    for (const { codes, figures: known } of parts) {
      const n = known[codes[row] as number] as number;
      if (n === n) figures++;
    }
    const said = note ? (note.values[note.codes[row] as number] ?? '') : '';
    if (figures === 0 && said === '') continue;
    // A copy of a complete score keeps one memory layout for all; one built up field by field is slower.
    const score: Score = figures === parts.length ? { ...full } : { plot: '', round: '' };
    score.plot = plotIds[plot] as string;
    score.round = roundIds[round] as string;
    if (plant !== undefined) score.plant = plant;
    const part = units.parts?.labels[units.parts.of[row] as number];
    if (part !== undefined) score.part = part;
    for (const { codes, figures: known, set } of parts) {
      const n = known[codes[row] as number] as number;
      if (n === n) set(score, n);
    }
    if (said !== '') score.note = said.slice(0, 10_000);
    scores.push(score);
    seen[round * plotIds.length + plot] = 1;
  }
}

/**
 * A score with every field in place. Fields get a fraction where their column has one: an engine that
 * first sees whole numbers lays the objects out anew at the first fraction, for every copy.
 */
function fullScore(parts: readonly Part[], planted: boolean): Score {
  const score: Score = planted ? { plot: '', round: '', plant: '' } : { plot: '', round: '' };
  for (const { figures, set } of parts) {
    set(score, figures.some((n) => n === n && !Number.isInteger(n)) ? 0.5 : 0);
  }
  // Read back from text, all fields lie in the object itself and its copies are smaller.
  return JSON.parse(JSON.stringify(score)) as Score;
}
