import { useEffect, useState } from 'react';
import { WorkNote } from '../WorkNote';
import type { Report } from '../work/desk';
import { openSheet, stopReading } from '../work/sheets';
import type { Opened } from '../work/sheetView';
import { useWork } from '../work/useWork';
import { type Answers, keptAnswers } from './answers';
import { ChooseFile } from './ChooseFile';
import { keepAsTrial } from './keepAsTrial';
import { ProblemTable } from './ProblemTable';
import { type PickedFile, usePickedFile } from './pickedFile';
import { SheetRoom } from './SheetRoom';
import { takeLedger } from './takeLedger';
import { readMapping } from '../shelf/store';

type Found = { readonly opened: Opened; readonly kept: Answers | undefined };

async function openFile(file: File, sheet: string | undefined, report: Report): Promise<Found> {
  const opened = await openSheet(file, sheet, report);
  if (opened.kind === 'ledger') return { opened: await takeLedger(file), kept: undefined };
  if (opened.kind === 'trial') await keepAsTrial(opened.trial, file.name);
  const kept = opened.kind === 'sheet' ? await readMapping(opened.view.key) : undefined;
  return { opened, kept: keptAnswers(kept) };
}

function Refused({
  opened,
  file,
}: {
  readonly opened: Opened & { kind: 'refused' };
  readonly file: string;
}) {
  return (
    <div className="stack" role="alert">
      <p className="lead">{file} could not be read. Nothing was changed.</p>
      <ProblemTable caption="What is wrong" problems={opened.problems} fileName={file} />
    </div>
  );
}

function OneFile({ picked }: { readonly picked: PickedFile }) {
  const { file } = picked;
  const [turn, setTurn] = useState(0);
  const again = (): void => setTurn((was) => was + 1);
  const [sheet, setSheet] = useState<string>();
  const work = useWork(`${turn} ${sheet ?? ''}`, (report) => openFile(file, sheet, report));
  const opened = work.state === 'done' ? work.value.opened : undefined;
  const title = opened?.kind === 'sheet' ? 'What does each column hold?' : 'What is in this file?';
  return (
    <>
      <p className="kicker">{file.name}</p>
      <h1 tabIndex={-1}>{title}</h1>
      <WorkNote work={work} onStop={stopReading} />
      {work.state === 'stopped' && (
        <div className="buttons">
          <span>Stopped. Nothing was kept.</span>
          <button type="button" className="button" onClick={again}>
            Read it after all
          </button>
          <ChooseFile label="Choose another file" quiet />
        </div>
      )}
      {work.state === 'failed' && (
        <div className="sheet fault stack" role="alert">
          <p>
            {file.name} could not be read: {work.fault.message}
          </p>
          <ChooseFile label="Choose another file" quiet />
        </div>
      )}
      {opened?.kind === 'refused' && (
        <div className="stack">
          <Refused opened={opened} file={file.name} />
          <ChooseFile label="Choose another file" />
        </div>
      )}
      {work.state === 'done' && opened?.kind === 'sheet' && (
        <SheetRoom
          key={opened.view.sheet ?? ''}
          view={opened.view}
          kept={work.value.kept}
          onSheet={setSheet}
          onStopped={again}
        />
      )}
    </>
  );
}

/** From a file to a trial: what the columns hold, what is asked, what is set aside. */
export function SheetScreen() {
  const picked = usePickedFile();
  useEffect(() => {
    document.title = 'A spreadsheet · Fairbed';
  }, []);
  if (picked) return <OneFile key={picked.turn} picked={picked} />;
  return (
    <div className="stack">
      <h1 tabIndex={-1}>Which sheet do you want to read?</h1>
      <p>Files are not kept when the page is reloaded. Choose yours again, or drop it here.</p>
      <ChooseFile label="Choose a spreadsheet" />
    </div>
  );
}
