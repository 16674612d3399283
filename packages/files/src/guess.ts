import type { Problem } from '@fairbed/field';
import { readDates } from './dates';
import { cellKind } from './grid';
import { type Mapping, type Measure, measures, type Role, type WideGroup } from './mapping';
import { reading, readNumbers } from './numbers';
import { roleOfHeading } from './synonyms';
import type { Column, Table } from './table';
import { findWide } from './wide';
import { say } from './say';

type Content = {
  readonly numeric: boolean;
  readonly whole: boolean;
  readonly least: number;
  readonly most: number;
  readonly distinct: number;
  readonly percent: boolean;
  readonly dates: boolean;
};

/** What the cells of a column look like, whatever its heading says. */
function contentOf(column: Column): Content {
  const read = readNumbers(column);
  let [rows, numbers, distinct, dates] = [0, 0, 0, 0];
  let [least, most] = [Infinity, -Infinity];
  let fractions = 0;
  let percents = 0;
  for (const [code, text] of column.values.entries()) {
    const count = column.counts[code] as number;
    if (count === 0 || read.readings[code] === reading.notScored) continue;
    rows += count;
    distinct++;
    if (column.kinds[code] === cellKind.date) dates += count;
    if (read.readings[code] !== reading.number) continue;
    const n = read.numbers[code] as number;
    numbers += count;
    least = Math.min(least, n);
    most = Math.max(most, n);
    if (!Number.isInteger(n)) fractions++;
    if (text.endsWith('%')) percents++;
  }
  if (dates === 0 && numbers < rows * 0.5 && rows > 0) dates = datesIn(column);
  return {
    numeric: rows > 0 && numbers >= rows * 0.7,
    whole: fractions === 0,
    least,
    most,
    distinct,
    percent: percents > 0,
    dates: rows > 0 && dates >= rows * 0.7,
  };
}

function datesIn(column: Column): number {
  let rows = 0;
  readDates(column).cells.forEach((cell, code) => {
    if (cell === undefined || 'days' in cell) return;
    if ('day' in cell || (cell.why !== 'blank' && cell.why !== 'text'))
      rows += column.counts[code] as number;
  });
  return rows;
}

/** Percent, grade or some other number: what the cells allow. */
function measureOf(content: Content): Measure {
  if (content.percent) return 'severity';
  if (content.whole && content.least >= 0 && content.most <= 10 && content.distinct <= 11)
    return 'grade';
  return content.least >= 0 && content.most <= 100 ? 'severity' : 'value';
}

const many: readonly Role[] = ['plant', 'part', 'note', 'ignore'];
const numericRoles: readonly Role[] = [...measures, 'baseline', 'days'];

/**
 * Guesses what each column holds, from its heading and its cells, and asks wherever the guess could
 * change the answer. The mapping is a proposal to be shown; the questions name what to decide.
 */
export function guessMapping(table: Table): {
  readonly mapping: Mapping;
  readonly questions: readonly Problem[];
} {
  const questions: Problem[] = [];
  const file = table.file;
  const wide = findWide(table);
  const wideNames = new Set(wide.groups.flatMap((g) => g.columns.map((c) => c.column)));
  const contents = new Map(table.columns.map((c) => [c.name, contentOf(c)]));
  const columns = guessRoles(table, wideNames, contents, questions);
  const groups = wide.groups.map((group) => guessGroup(group, contents, file, questions));
  if (wide.either && wideNames.has(wide.either.heading)) {
    questions.push(
      say(
        'date-order',
        { file, row: table.headingRow, column: wide.either.heading },
        wide.either.heading,
        wide.either.dmy,
        wide.either.mdy,
      ),
    );
  }
  if (!columns.some((c) => c.role === 'treatment'))
    guessTreatment(table, columns, contents, questions);
  const measured =
    groups.length > 0 ||
    columns.some(
      (c) =>
        numericRoles.includes(c.role) && !['baseline', 'leaves', 'headingDate'].includes(c.role),
    );
  if (!measured) questions.push(say('which-measure', { file }));
  for (const { column, role } of columns) {
    if (role === 'grade') questions.push(gradeQuestion(column, contents.get(column), file));
  }
  const mapping: Mapping = { version: 1, columns, ...(groups.length > 0 ? { wide: groups } : {}) };
  return { mapping, questions };
}

function guessRoles(
  table: Table,
  wideNames: ReadonlySet<string>,
  contents: ReadonlyMap<string, Content>,
  questions: Problem[],
): { column: string; role: Role }[] {
  const taken = new Map<Role, string>();
  const roles = new Map<string, Role>();
  const offers = table.columns
    .filter((c) => !wideNames.has(c.name))
    .map((c) => ({ name: c.name, offer: offerFor(c.name, contents.get(c.name)) }));
  // Sure headings choose first, so that "treatment" is not lost to "spray" standing before it.
  for (const sure of [true, false]) {
    for (const { name, offer } of offers) {
      if (offer === undefined || offer.sure !== sure) continue;
      const other = taken.get(offer.role);
      if (other === undefined || many.includes(offer.role)) {
        taken.set(offer.role, name);
        roles.set(name, offer.role);
      } else if (offer.sure && numericRoles.includes(offer.role)) {
        questions.push(say('two-for-role', { file: table.file, column: name }, other, name));
      }
    }
  }
  const leaves = taken.get('leaves');
  // "n" or "total" means leaves only beside a count of diseased ones.
  if (
    leaves !== undefined &&
    !taken.has('diseased') &&
    !/leaves|leaf|bl.tter|feuilles|hojas|foglie|folhas|bladeren/i.test(leaves)
  ) {
    roles.delete(leaves);
  }
  if (!taken.has('leaves') && taken.has('diseased')) {
    questions.push(say('which-leaves', { file: table.file }));
  }
  return table.columns
    .map((c) => ({ column: c.name, role: roles.get(c.name) ?? 'ignore' }))
    .filter(({ column }) => !wideNames.has(column));
}

/** Without a heading that says so: the first column of words of which a few stand again and again. */
function guessTreatment(
  table: Table,
  columns: { column: string; role: Role }[],
  contents: ReadonlyMap<string, Content>,
  questions: Problem[],
): void {
  const likely = columns.find(({ column, role }) => {
    const content = contents.get(column);
    if (role !== 'ignore' || content === undefined || content.numeric || content.dates)
      return false;
    return content.distinct >= 2 && content.distinct <= 40 && content.distinct * 2 <= table.rows;
  });
  if (likely === undefined) questions.push(say('which-treatment', { file: table.file }));
  else {
    likely.role = 'treatment';
    questions.push(say('treatment-guessed', { file: table.file, column: likely.column }));
  }
}

function offerFor(
  name: string,
  content: Content | undefined,
): { role: Role; sure: boolean } | undefined {
  const named = roleOfHeading(name);
  if (content === undefined) return named;
  if (named === undefined) return content.dates ? { role: 'date', sure: false } : undefined;
  if (numericRoles.includes(named.role) && content.distinct > 0 && !content.numeric) {
    // "score" full of words, or "total" beside names: the heading is not enough.
    return Number.isFinite(content.least) ? named : undefined;
  }
  if (named.role === 'grade' && !content.whole) return { role: measureOf(content), sure: false };
  if (named.role === 'grade' && content.most > 10) return { role: measureOf(content), sure: false };
  return named;
}

function guessGroup(
  group: WideGroup & { readonly stated: boolean },
  contents: ReadonlyMap<string, Content>,
  file: string,
  questions: Problem[],
): WideGroup {
  const parts = group.columns.map((c) => contents.get(c.column)).filter((c) => c !== undefined);
  const together: Content = {
    numeric: parts.every((p) => p.numeric),
    whole: parts.every((p) => p.whole),
    least: Math.min(...parts.map((p) => p.least)),
    most: Math.max(...parts.map((p) => p.most)),
    distinct: Math.max(0, ...parts.map((p) => p.distinct)),
    percent: parts.some((p) => p.percent),
    dates: false,
  };
  const measure = group.stated ? group.measure : measureOf(together);
  const span = `${group.columns[0]?.column ?? ''} to ${group.columns[group.columns.length - 1]?.column ?? ''}`;
  if (!group.stated && !together.percent) {
    questions.push(
      say('what-measure', { file, column: span }, measure, together.least, together.most),
    );
  }
  if (measure === 'grade') questions.push(gradeQuestion(span, together, file));
  return { measure, columns: group.columns };
}

const gradeQuestion = (column: string, content: Content | undefined, file: string): Problem =>
  say('grade-healthy', { file, column }, content?.least ?? 0, content?.most ?? 0);
