import { fault, list, n, note, packAgain, q, question, saveAgain, type Said } from './speech';

/** What can be said of a file as a whole: its form, its headings, its mapping. */
export const fileWords = {
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
  'zip-broken': () => fault('The file is damaged: it can not be unpacked.', packAgain),
  'zip-encrypted': () =>
    fault('The file is locked by a password.', 'Take the password off and save it again.'),
  'zip-too-many': () => fault('The file is packed from too many parts.', packAgain),
  'zip-bomb': () =>
    fault('The file unpacks to far more than a table needs; it was not read further.', packAgain),
  'zip-path': () =>
    fault(
      'The file holds a part whose name points outside it; it was not read.',
      'Do not use this file unless you know who made it.',
    ),
  'zip-method': () => fault('The file is packed in a way that is not read here.', packAgain),
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
} satisfies Record<string, (...args: never[]) => Said>;
