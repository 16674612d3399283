import { correct, fault, n, note, q, question, type Said } from './speech';

/** What can be said of rows, cells, dates and plots. */
export const rowWords = {
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
} satisfies Record<string, (...args: never[]) => Said>;
