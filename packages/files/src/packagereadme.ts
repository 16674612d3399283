import type { Trial } from '@fairbed/trial';
import type { PackageTable } from './packagetable';
import { n } from './speech';

type Contents = {
  readonly trial: Trial;
  readonly tables: readonly PackageTable[];
  /** Entries of the ledger; undefined where the package carries none. */
  readonly entries: number | undefined;
  readonly photos: number;
};

/** README.md of a package: what is in it, in plain words, for whoever unpacks it years from now. */
export function packageReadme({ trial, tables, entries, photos }: Contents): string {
  const line = (text: string): string => text.replace(/\s+/g, ' ').trim();
  const title = line(trial.title);
  const parts = [
    `# ${title === '' ? 'A trial' : title}`,
    ...(trial.question === undefined ? [] : [line(trial.question)]),
    ...(trial.invented === true
      ? ['This trial is made up for a demonstration. Nobody grew it.']
      : []),
    ...(trial.plan?.sealed !== undefined && trial.reveal === undefined
      ? [
          'This trial is still scored blind. plots.csv says which plot got what: do not open the tables if you score.',
        ]
      : []),
    'One trial against leaf disease, saved as an open data package. The tables are CSV: any spreadsheet opens them. Dates are year-month-day, lengths metres, figures have a decimal point. An empty cell means not known.',
    tables.map((t) => `- \`${t.name}.csv\`: ${t.about}.`).join('\n'),
    [
      '- `trial.json`: the whole trial in one document. The tables are copies of its parts.',
      ...(entries === undefined
        ? []
        : [
            `- \`entries.csv\`: the ledger, ${n(entries, 'entry', 'entries')}. Who wrote what, when, and what it replaced. Nothing in it was ever changed or taken out.`,
          ]),
      ...(photos === 0
        ? []
        : [
            `- \`photos/\`: ${n(photos, 'photo')}. Each is named by the SHA-256 of its bytes; photos.csv says where and when it was taken.`,
          ]),
      '- `datapackage.json`: what each file and column holds (Frictionless Data Package, version 1).',
    ].join('\n'),
    'To open it again in Fairbed, give it this package as it is. A table that you change is not read back; `trial.json` is.',
    ...(entries === undefined
      ? []
      : [
          'Do not edit `entries.csv`. A package whose ledger was changed is not taken in. Keep the package as it came and edit a copy.',
        ]),
    'A text that begins with = + - or @ has an apostrophe in front in the tables, so that no spreadsheet runs it as a formula.',
  ];
  return `${parts.join('\n\n')}\n`;
}
