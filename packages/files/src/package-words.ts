import { fault, getAgain, n, note, q, question, type Said } from './speech';

const unharmed =
  'Nothing was taken in. Use the package as it was saved; edit a copy if you want to edit.';

/** What can be said of a data package: what is missing, damaged or changed in it. */
export const packageWords = {
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
  'package-too-large': (mb: number, limit: number) =>
    fault(
      `The package is ${Math.round(mb)} MB; the limit is ${limit} MB.`,
      'Save it again without photos.',
    ),
  'package-cut': () =>
    fault('The package is damaged: its end is missing or it can not be unpacked.', getAgain),
  'package-part-broken': (part: string) =>
    fault(`${q(part)} in this package is damaged.`, getAgain),
  'package-bomb': () =>
    fault(
      'The package unpacks to far more than a trial needs; it was not read further.',
      'Nothing was taken in. Do not use this file unless you know who made it.',
    ),
  'package-no-descriptor': () =>
    fault('The package has lost its list of contents (datapackage.json).', getAgain),
  'package-descriptor': () =>
    fault('The list of contents of this package (datapackage.json) makes no sense.', getAgain),
  'package-part-outside': (part: string) =>
    fault(
      `The package names a part outside itself: ${q(part)}.`,
      'Nothing was taken in. Do not use this file unless you know who made it.',
    ),
  'package-part-missing': (part: string) =>
    fault(`${q(part)} should be in this package and is not.`, getAgain),
  'photo-name': (part: string) =>
    fault(`The photo ${q(part)} does not bear the name that a photo has here.`, getAgain),
  'photo-changed': (part: string) =>
    fault(
      `The photo ${q(part)} is not the one that was saved: its bytes do not fit its name.`,
      unharmed,
    ),
  // The ledger
  'entries-not-text': () => fault('The ledger (entries.csv) is not text in UTF-8.', unharmed),
  'entries-cut': () => fault('The ledger breaks off in this row.', getAgain),
  'entries-headings': (headings: readonly string[]) =>
    fault(`The headings of the ledger should be: ${headings.join(', ')}.`, unharmed),
  'entries-cells': (count: number, wanted: number) =>
    fault(
      `This row of the ledger has ${n(count, 'cell')} where ${wanted} belong.`,
      'Nothing was taken in. Use the package as it was saved, or send it once more.',
    ),
  'entries-cell': (cell: string) =>
    fault(
      `This cell of the ledger makes no sense: ${q(cell)}.`,
      'Nothing was taken in. Use the package as it was saved, or send it once more.',
    ),
  'seal-differs': (id: string) =>
    question(
      `The seal of this trial (entry ${q(id)}) does not belong to the plan in it: its hash is another. The plan was changed after it was sealed, or the seal was never true.`,
      'Ask whoever sealed it for the hash they saw, and for their own copy. Until then take the plan as not sealed.',
    ),
  'entries-twice': (id: string) => fault(`The ledger holds the entry ${q(id)} twice.`, unharmed),
  'entries-changed': (rows: number, saved: number) =>
    fault(
      rows === saved
        ? 'The ledger was changed after the package was saved.'
        : `The ledger was saved with ${n(saved, 'entry', 'entries')}; now there are ${rows.toLocaleString('en-GB')}.`,
      unharmed,
    ),
} satisfies Record<string, (...args: never[]) => Said>;
