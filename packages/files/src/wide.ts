import { type Day, readDay } from '@fairbed/field';
import { readDateText } from './dates';
import type { Measure, WideColumn, WideGroup } from './mapping';
import { measures } from './mapping';
import { plainHeading, roleOfHeading } from './synonyms';
import type { Table } from './table';

/** A heading that names a round or a plant, and the measure beside it where it says one. */
export type WideHeading = {
  readonly date?: string;
  /** A date that could be read day-first or month-first. */
  readonly either?: { readonly dmy: Day; readonly mdy: Day };
  readonly round?: string;
  readonly plant?: string;
  readonly measure?: Measure;
};

const roundWords =
  /^(week|wk|woche|kw|semaine|semana|settimana|round|runde|visit|assessment|score|rating|time|t|r|w|day|d|dap|das|dai|dat)\s*(\d{1,3})$/;
const plantWords = /^(plant|pl|p|pflanze|plante|planta|pianta|vine|shoot)\s*(\d{1,3})$/;

/**
 * Reads a heading such as "2015-03-02", "04/05/2026 diseased", "week 3", "leaves wk 2", "plant 4";
 * undefined where it names no round and no plant.
 */
export function readWideHeading(heading: string): WideHeading | undefined {
  const words = heading.replace(/_/g, ' ').trim().split(/\s+/).slice(0, 8);
  for (let cut = 0; cut <= words.length; cut++) {
    for (const [label, rest] of cut === 0
      ? [[words, []]]
      : [
          [words.slice(0, cut), words.slice(cut)],
          [words.slice(cut), words.slice(0, cut)],
        ]) {
      const found = label && label.length > 0 ? readLabel(label.join(' ')) : undefined;
      if (found === undefined) continue;
      const restText = (rest ?? []).join(' ');
      if (restText === '') return found;
      const role = roleOfHeading(restText)?.role;
      const measure = measures.find((m) => m === role);
      if (measure !== undefined) return { ...found, measure };
    }
  }
  return undefined;
}

function readLabel(label: string): WideHeading | undefined {
  const iso = readDay(label.replace(/[./ ]/g, '-'));
  if (iso !== undefined) return { date: iso };
  const plain = plainHeading(label);
  const round = roundWords.exec(plain);
  if (round) return { round: plain.replace(/^([a-z]+)(\d)/, '$1 $2') };
  const plant = plantWords.exec(plain);
  if (plant) return { plant: plant[2] ?? '' };
  const date = readDateText(label.replace(/^x(?=\d)/i, ''));
  if (date.kind === 'day' || date.kind === 'ordered') return { date: date.day };
  if (date.kind === 'either') return { either: { dmy: date.dmy, mdy: date.mdy } };
  return undefined;
}

/** The wide groups of a sheet: two or more columns of the same measure under rounds or plants. */
export function findWide(table: Table): {
  readonly groups: readonly (WideGroup & { readonly stated: boolean })[];
  readonly either?: { readonly heading: string; readonly dmy: Day; readonly mdy: Day };
} {
  const byMeasure = new Map<string, { columns: WideColumn[]; stated: boolean; measure: Measure }>();
  let either: { heading: string; dmy: Day; mdy: Day } | undefined;
  const headings = table.columns.map((c) => ({ name: c.name, read: readWideHeading(c.name) }));
  // One heading with a 13 or more settles the order for the row of headings.
  const order = headingOrder(headings.map((h) => h.name));
  for (const { name, read } of headings) {
    if (read === undefined) continue;
    const date = read.date ?? (read.either && order ? read.either[order] : undefined);
    if (read.either && !order) either ??= { heading: name, ...read.either };
    const label: WideColumn = {
      column: name,
      ...(date === undefined ? {} : { date }),
      ...(read.round === undefined ? {} : { round: read.round }),
      ...(read.plant === undefined ? {} : { plant: read.plant }),
      ...(read.either && !order ? { round: name } : {}),
    };
    const key = `${read.measure ?? ''}/${read.plant === undefined ? 'round' : 'plant'}`;
    const group = byMeasure.get(key) ?? {
      columns: [],
      stated: read.measure !== undefined,
      measure: read.measure ?? 'value',
    };
    group.columns.push(label);
    byMeasure.set(key, group);
  }
  const groups = [...byMeasure.values()].filter((g) => g.columns.length >= 2);
  return { groups, ...(either ? { either } : {}) };
}

function headingOrder(names: readonly string[]): 'dmy' | 'mdy' | undefined {
  for (const name of names) {
    for (const word of [name, ...name.split(/[\s_]+/)]) {
      const read = readDateText(word);
      if (read.kind === 'ordered') return read.order;
    }
  }
  return undefined;
}
