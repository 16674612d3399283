import type { Problem } from '@fairbed/field';
import { useState } from 'react';
import { useAnnounce } from '../Announcer';
import { noValue } from '../verdict/numbers';
import { saveFile } from '../verdict/saveFile';
import { Table } from '../verdict/Table';
import { problemsCsv } from './problemList';

/** More than a reader can work through on a screen; the rest is in the file. */
const shownAtMost = 100;

/** On a phone, where the headings are out of sight, the figure says itself what it is. */
function Where({
  label,
  value,
}: {
  readonly label: string;
  readonly value: string | number | undefined;
}) {
  if (value === undefined) return <td className="words none">{noValue}</td>;
  return (
    <td className={typeof value === 'number' ? undefined : 'words'}>
      <span className="narrow-only" aria-hidden="true">
        {label}{' '}
      </span>
      {value}
    </td>
  );
}

/** What is wrong, where, and what to do; to read here, to copy or to take along as a file. */
export function ProblemTable({
  caption,
  problems,
  fileName,
}: {
  readonly caption: string;
  readonly problems: readonly Problem[];
  readonly fileName: string;
}) {
  const announce = useAnnounce();
  const [copied, setCopied] = useState<string>();
  const say = (words: string): void => {
    setCopied(words);
    announce(words);
  };
  const copy = (): void => {
    void navigator.clipboard.writeText(problemsCsv(problems)).then(
      () => say('The list is copied.'),
      () => say('The browser did not allow copying. Download the list.'),
    );
  };
  const download = (): void => {
    const bytes = new TextEncoder().encode(problemsCsv(problems));
    saveFile(`${fileName.replace(/\.[^.]*$/, '')}-problems.csv`, 'text/csv', bytes);
    say('The list is in your downloads.');
  };
  const hidden = problems.length - shownAtMost;
  return (
    <div className="stack words-table">
      <Table caption={caption} head={['Row', 'Column', 'What is wrong', 'What to do']}>
        {problems.slice(0, shownAtMost).map((problem, i) => (
          <tr key={i}>
            <Where label="Row" value={problem.row} />
            <Where label="Column" value={problem.column} />
            <td className="words wide">{problem.what}</td>
            <td className="words wide">{problem.do}</td>
          </tr>
        ))}
      </Table>
      {hidden > 0 && <p>And {hidden} more, all in the list to download.</p>}
      <div className="buttons">
        <button type="button" className="button quiet" onClick={download}>
          Download the list (CSV)
        </button>
        <button type="button" className="button quiet" onClick={copy}>
          Copy the list
        </button>
        {copied !== undefined && <span className="soft small">{copied}</span>}
      </div>
    </div>
  );
}
