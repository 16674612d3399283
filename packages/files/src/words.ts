import type { Problem } from '@fairbed/field';

/** A problem without its code and place. */
export type Said = Pick<Problem, 'kind' | 'what' | 'do'>;

const fault = (what: string, todo: string): Said => ({ kind: 'fault', what, do: todo });
const question = (what: string, todo: string): Said => ({ kind: 'question', what, do: todo });
const note = (what: string, todo: string): Said => ({ kind: 'note', what, do: todo });

/** A cell's text in a sentence: quoted, one line, short. */
const q = (text: string): string => {
  const line = text.replace(/[\p{Cc}\p{Cf}\s]+/gu, ' ').trim();
  return `"${line.length > 60 ? `${line.slice(0, 57)}...` : line}"`;
};
const n = (count: number, one: string, many = `${one}s`): string =>
  `${count.toLocaleString('en-GB')} ${count === 1 ? one : many}`;
const list = (names: readonly string[]): string =>
  names.length > 12
    ? `${names.slice(0, 12).map(q).join(', ')} and ${names.length - 12} more`
    : names.map(q).join(', ');
const correct = 'Correct the cell and read the file again.';
const saveAgain = 'Save it again as CSV or XLSX from your spreadsheet.';

/** Every sentence of this room that a grower reads, by code. */
export const words = {
  // The file
  'empty-file': () => fault('The file is empty.', 'Pick the file that holds the scores.'),
  'too-large': (mb: number, limit: number) =>
    fault(
      `The file is ${Math.round(mb)} MB; the limit is ${limit} MB.`,
      'Save only the sheet with the scores, without pictures.',
    ),
  'old-workbook': () =>
    fault(
      'This is an old Excel workbook (.xls), or one locked by a password.',
      'Open it, take the password off, and save it as .xlsx or CSV.',
    ),
  'is-pdf': () => fault('This is a PDF, not a table.', 'Save the table itself as CSV or XLSX.'),
  'not-text': () =>
    fault('This is not a text file or a workbook.', 'Save the table as CSV or XLSX.'),
  'no-table': () =>
    fault(
      'There is no table in this file.',
      'Put the headings in one row and the scores below it.',
    ),
  'no-rows': () =>
    fault(
      'There are headings but no rows below them.',
      'Pick the file or sheet that holds the scores.',
    ),
  'no-headings': () =>
    fault(
      'The first row holds only figures: the columns have no headings.',
      'Add a row of headings above the figures.',
    ),
  'too-many-columns': (limit: number) =>
    fault(
      `There are more than ${limit.toLocaleString('en-GB')} columns.`,
      'Check that each row ends where it should, or save fewer columns.',
    ),
  'too-many-rows': (limit: number) =>
    fault(
      `There are more than ${limit.toLocaleString('en-GB')} rows.`,
      'Split the file by trial or by year.',
    ),
  'too-many-cells': () =>
    fault(
      'The table is too large to read (rows times columns).',
      'Save only the columns and rows of this trial.',
    ),
  'quote-not-closed': () =>
    fault(
      'A quotation mark is opened in this row and never closed.',
      'Close it, or take it out, and read the file again.',
    ),
  'zip-broken': () => fault('The file is damaged: it can not be unpacked.', saveAgain),
  'zip-encrypted': () =>
    fault('The file is locked by a password.', 'Take the password off and save it again.'),
  'zip-too-many': () => fault('The file is packed from too many parts.', saveAgain),
  'zip-bomb': () =>
    fault('The file unpacks to far more than a table needs; it was not read further.', saveAgain),
  'zip-path': () =>
    fault(
      'The file holds a part whose name points outside it; it was not read.',
      'Do not use this file unless you know who made it.',
    ),
  'zip-method': () => fault('The file is packed in a way that is not read here.', saveAgain),
  'zip-no-workbook': () =>
    fault('This is a packed file, but not an XLSX workbook.', 'Save the table as XLSX or CSV.'),
  'xml-broken': () => fault('The workbook is damaged: a part of it makes no sense.', saveAgain),
  'xml-doctype': () =>
    fault(
      'The workbook carries a document type declaration, which no spreadsheet writes; it was not read.',
      saveAgain,
    ),
  'xml-deep': () =>
    fault('The workbook is nested deeper than any spreadsheet; it was not read.', saveAgain),
  'no-such-sheet': (sheet: string) =>
    fault(`There is no sheet ${q(sheet)} in this workbook.`, 'Name one of its sheets.'),
  'several-sheets': (used: string, all: readonly string[]) =>
    question(
      `Several sheets hold data (${list(all)}); ${q(used)} was read.`,
      'Pick another sheet if the scores are there.',
    ),
  'title-rows': (count: number) =>
    note(
      `The headings were found in this row; ${n(count, 'row')} above it ${count === 1 ? 'was' : 'were'} taken for a title.`,
      'Check that these are the headings.',
    ),
  'empty-rows': (count: number) =>
    note(
      `${n(count, 'empty row')} ${count === 1 ? 'was' : 'were'} skipped.`,
      'Nothing, unless a row should not be empty.',
    ),
  'hidden-rows': (count: number) =>
    note(
      `${n(count, 'hidden row')} of the sheet ${count === 1 ? 'was' : 'were'} read too.`,
      'Delete hidden rows that do not belong to the trial.',
    ),
  'heading-missing': () =>
    note('This column has no heading.', 'Give it a heading if it is needed.'),
  'heading-twice': (heading: string, called: string) =>
    note(
      `The heading ${q(heading)} stands more than once; this one is called ${q(called)} here.`,
      'Check that the right column is used.',
    ),
  formulas: (column: string, count: number) =>
    note(
      `Column ${q(column)} holds formulas (${n(count, 'cell')}); their last saved values were used.`,
      'Open and save the workbook once if it was made by a program.',
    ),
  // The mapping
  'which-treatment': () =>
    question(
      'No column was found for the treatment.',
      'Say which column names the treatment of each plot.',
    ),
  'treatment-guessed': () =>
    question(
      'This column was taken for the treatment.',
      'Say which column names the treatment of each plot.',
    ),
  'too-many-treatments': (count: number) =>
    fault(
      `The column holds ${n(count, 'different name')}: more treatments than a trial has.`,
      'Say which column names the treatment.',
    ),
  'too-many-plots': (count: number, limit: number) =>
    fault(
      `There are ${n(count, 'plot')}; the limit is ${limit.toLocaleString('en-GB')}.`,
      'Say which column names the plot, or split the file by trial.',
    ),
  'which-measure': () =>
    question(
      'No column with scores was found.',
      'Say which columns hold the counts, the severity, the grade or another figure.',
    ),
  'which-leaves': () =>
    question(
      'Diseased leaves are counted, but no column was found for all leaves.',
      'Say which column holds the number of leaves on the plant.',
    ),
  'two-for-role': (first: string, second: string) =>
    question(
      `Columns ${q(first)} and ${q(second)} could be the same thing; ${q(first)} was taken.`,
      'Say which of them to use.',
    ),
  'what-measure': (guess: string, least: number, most: number) =>
    question(
      `These columns hold figures from ${least} to ${most}; they were taken for ${guess === 'severity' ? 'percent of leaf area' : guess === 'grade' ? 'grades' : 'plain figures'}.`,
      'Say what was scored: percent, a grade, or another figure.',
    ),
  'no-such-column': (column: string, headings: readonly string[]) =>
    fault(`There is no column ${q(column)}.`, `Name one of: ${list(headings)}.`),
  'no-such-control': (control: string, names: readonly string[]) =>
    fault(`There is no treatment ${q(control)} to compare with.`, `Name one of: ${list(names)}.`),
  'control-guessed': (name: string) =>
    note(
      `${q(name)} was taken for the untreated control.`,
      'Say so if the others should be compared with another treatment.',
    ),
  'grade-healthy': (least: number, most: number) =>
    question(
      `The grades run from ${least} to ${most}; which end means a healthy leaf is not said.`,
      'Say which grade means no disease.',
    ),
  'grade-classes': (least: number, most: number, offered: readonly number[]) =>
    question(
      `Grades from ${least} to ${most} were given; the whole scale is not known.`,
      `Say which grades the scale has (${offered.join(' to ')}, perhaps).`,
    ),
  'healthy-not-end': (healthy: number, classes: readonly number[]) =>
    fault(
      `Grade ${healthy} can not mean healthy: it is neither the first nor the last of ${classes.join(', ')}.`,
      'Name the first or the last grade of the scale.',
    ),
  'value-better': (better: 'lower' | 'higher') =>
    note(
      `A ${better === 'lower' ? 'smaller' : 'larger'} figure was taken to be the better one.`,
      'Say so if it is the other way round.',
    ),
  'severity-fraction': (most: number) =>
    question(
      `The severity never passes ${most}: it may be written as a fraction of 1, not as percent.`,
      'Say whether 1 means 1 % or the whole leaf.',
    ),
  // Rows and cells
  'heading-again': () =>
    fault('The headings are repeated in this row.', 'Nothing, or delete the row.'),
  'totals-row': (text: string) =>
    fault(
      `This row looks like a total or a mean (${q(text)}), not like a plot.`,
      'Delete the row, or rename the treatment if it is one.',
    ),
  'blank-name': (column: string) =>
    fault(`The ${q(column)} cell is empty.`, 'Fill it in and read the file again.'),
  'bad-name': (text: string) =>
    fault(
      `${q(text)} can not be used as a name: it is an error of the spreadsheet, a reserved word, or longer than 90 characters.`,
      correct,
    ),
  'spelling-merged': (written: string, used: string, rows: number) =>
    note(
      `${q(written)} (${n(rows, 'row')}) was taken as ${q(used)}: they differ only in capitals or spaces.`,
      'Rename one of them if they are not the same.',
    ),
  'spelt-two-ways': (rare: string, common: string, rows: number) =>
    question(
      `${q(rare)} (${n(rows, 'row')}) and ${q(common)} look like one treatment spelt two ways. ${n(rows, 'row is', 'rows are')} set aside until you say.`,
      'Correct the spelling, or say that they are two treatments.',
    ),
  'text-in-numbers': (text: string) =>
    fault(`A figure is needed here; the cell says ${q(text)}.`, correct),
  negative: (text: string) => fault(`${q(text)} is below zero.`, correct),
  'not-whole': (text: string) =>
    fault(`A count must be a whole number; the cell says ${q(text)}.`, correct),
  'over-100': (text: string) =>
    fault(`A percentage can not be over 100; the cell says ${q(text)}.`, correct),
  'not-a-class': (text: string) =>
    fault(
      `${q(text)} is not one of the grades of the scale.`,
      'Correct the cell, or name all grades of the scale.',
    ),
  'not-a-stage': (text: string) =>
    fault(
      `A growth stage is a whole number from 0 to 99 (BBCH); the cell says ${q(text)}.`,
      correct,
    ),
  'diseased-over': (diseased: number, leaves: number) =>
    fault(
      `${n(diseased, 'leaf is', 'leaves are')} diseased, but the plant has only ${leaves}.`,
      'Correct whichever count is wrong.',
    ),
  'stripped-over': (stripped: number, leaves: number) =>
    fault(
      `${n(stripped, 'leaf was', 'leaves were')} stripped, but the plant had only ${leaves}.`,
      'Correct whichever count is wrong.',
    ),
  'other-decimal': (text: string, comma: boolean) =>
    fault(
      `${q(text)} has a decimal ${comma ? 'point' : 'comma'}; the rest of the column has decimal ${comma ? 'commas' : 'points'}.`,
      correct,
    ),
  'decimal-open': (text: string) =>
    question(
      `${q(text)} can be read with a decimal comma or as thousands. The rows of this column are set aside until you say.`,
      'Say whether the comma is a decimal comma.',
    ),
  'formula-unsaved': () =>
    fault(
      'The cell holds a formula without a saved value.',
      'Open the workbook in a spreadsheet, save it, and read it again.',
    ),
  'not-scored': (count: number) =>
    note(
      `${n(count, 'cell is', 'cells are')} blank or marked as missing; taken as not scored.`,
      'Fill in a 0 where nothing was found.',
    ),
  'happened-unclear': (text: string) =>
    fault(`${q(text)} does not say whether it happened.`, 'Write 1 or 0, yes or no.'),
  'heading-early': (day: string, start: string) =>
    fault(`${day} is before the first day, ${start}.`, correct),
  'heading-from': (start: string, end: string) =>
    note(
      `Days are counted from ${start}; plants without a date had not got there by ${end}.`,
      'Name the first day if it is another.',
    ),
  'more-faults': (count: number) =>
    fault(
      `${n(count, 'more row has', 'more rows have')} faults that are not listed one by one.`,
      'Correct those listed and read the file again.',
    ),
  // Dates
  'date-blank': () => fault('The date is missing.', 'Fill it in and read the file again.'),
  'date-text': (text: string) =>
    fault(`${q(text)} is not a date that can be read.`, 'Write it as 2026-05-04.'),
  'date-order': (text: string, dmy: string, mdy: string) =>
    question(
      `${q(text)} can be ${dmy} (day first) or ${mdy} (month first), and no date of the sheet settles it. The rows are set aside until you say.`,
      'Say whether the day or the month comes first.',
    ),
  'date-against': (text: string, dayFirst: boolean) =>
    fault(
      `${q(text)} can not be read ${dayFirst ? 'day' : 'month'} first, as the other dates of the column are.`,
      'Write it as 2026-05-04.',
    ),
  'date-year': (text: string) =>
    question(`${q(text)} has no year.`, 'Say which year the trial was in.'),
  'date-year-place': (text: string) =>
    question(`${q(text)} may begin or end with the year.`, 'Write the dates as 2026-05-04.'),
  'date-serials': (count: number) =>
    note(
      `${n(count, 'cell holds', 'cells hold')} a spreadsheet's day number instead of a date; read in the 1900 system.`,
      'Check the dates, or show the column as dates and save again.',
    ),
  'date-swapped': () =>
    question(
      'Some dates are real dates on the 12th or earlier, others are text with a day after the 12th. The spreadsheet may have swapped day and month in the real ones.',
      'Check the dates; write them as 2026-05-04.',
    ),
  'first-day': () =>
    note(
      'The column counts days; the calendar date of day 0 is not known.',
      'Say on which date day 0 fell, if dates are wanted.',
    ),
  'round-spans': (round: string, days: number, first: string) =>
    note(
      `Round ${q(round)} was scored on ${days} days; it is put on the first, ${first}.`,
      'Check the dates if it was one day.',
    ),
  'rounds-same-day': (a: string, b: string, day: string) =>
    question(
      `Rounds ${q(a)} and ${q(b)} are both on ${day}. Their rows are set aside until you say.`,
      'Correct the date, or leave the round out and map the date alone.',
    ),
  // Plots
  'which-plot': () =>
    question(
      'There are several rows of a treatment on one date, and no column for the block or the plot.',
      'Say which column names the plot (or the block) of each row.',
    ),
  'treatment-is-plot': () =>
    note(
      'No column names a plot or a block: each treatment was taken for one plot.',
      'Say which column names the plot if there were several.',
    ),
  'plot-two-ways': (plot: string, what: string, has: string, rest: string) =>
    fault(
      `Plot ${q(plot)} has ${what} ${q(has)} here and ${q(rest)} in other rows.`,
      `Correct the ${what} or the plot.`,
    ),
  'several-rows-a-plot': (plot: string, rows: number, time: string | undefined) =>
    question(
      `Most plots have several rows at one time (${q(plot)} has ${rows}). They are set aside until you say what they are.`,
      time === undefined
        ? 'Say which column names the plant, the plot or the date.'
        : `Say whether column ${q(time)} is their date.`,
    ),
  'rows-are-parts': (columns: readonly string[]) =>
    note(
      `Most plots have several rows, told apart by ${columns.map(q).join(' and ')}; they were taken for parts of one (leaves are added up, other figures averaged).`,
      'Say what these rows are if they are something else.',
    ),
  duplicate: (d: { plot: string; when: string | undefined; other: number; alike: boolean }) =>
    fault(
      `${q(d.plot)} has a second score${d.when === undefined ? '' : ` of ${d.when}`}: see row ${d.other}. ${d.alike ? 'The two rows are the same; one is used.' : 'The two rows differ; neither is used.'}`,
      d.alike ? 'Delete one of them.' : 'Correct the plot or the date, or delete the wrong row.',
    ),
  'plants-twice': (column: string) =>
    question(
      `Other columns hold one plant each; ${q(column)} does not fit beside them and was left out.`,
      'Map either columns of single plants, or the others.',
    ),
  'rows-are-plants': () =>
    note(
      'Plots have several rows and no column names the plants: each row was taken for one plant.',
      'Say which column names the plant if there is one.',
    ),
  'plot-missing': (treatment: string, block: string) =>
    note(
      `Block ${q(block)} has no plot of ${q(treatment)}.`,
      'Nothing, if the plot was lost or never laid out.',
    ),
  'blocks-incomplete': (missing: number, size: number) =>
    note(
      `${missing} of ${size} pairs of block and treatment have no plot.`,
      'Nothing, if the blocks are meant to be incomplete.',
    ),
  'not-at-round': (plot: string, round: string) =>
    note(`Plot ${q(plot)} has no score of ${round}.`, 'Nothing, if it was not scored.'),
  'rounds-incomplete': (missing: number, size: number) =>
    note(
      `${missing} of ${size} scorings (each plot at each round) are missing.`,
      'Nothing, if they were not scored.',
    ),
  // Data packages
  'package-no-trial': () =>
    fault(
      'This packed file is not a data package with a trial in it (no trial.json).',
      'Pick a package saved by this program, or the spreadsheet itself.',
    ),
  'package-broken': () =>
    fault(
      'The trial in this package is not well-formed JSON.',
      'Save the package again from the program that holds the trial.',
    ),
  'package-edited': (table: string) =>
    note(
      `${table} was changed after the package was saved; the trial itself (trial.json) was used.`,
      'Read the changed table as a scores file if its changes are wanted.',
    ),
} satisfies Record<string, (...args: never[]) => Said>;
