import type { Judgement } from '@fairbed/verdict';
import { useState } from 'react';
import { useAnnounce } from '../Announcer';
import { packTrial } from '../work/trials';
import { useCurrent } from './current';
import { fileNameOf, saveFile } from './saveFile';

/** The trial and the answer as files, to keep or to hand on. */
export function Downloads({
  id,
  title,
  judgement,
}: {
  readonly id: string;
  readonly title: string;
  readonly judgement: Judgement;
}) {
  const announce = useAnnounce();
  const current = useCurrent();
  const [fault, setFault] = useState<string>();
  const name = fileNameOf(title);
  const takePackage = (): void => {
    packTrial(id).then(
      (bytes) => {
        saveFile(`${name}.zip`, 'application/zip', bytes);
        setFault(undefined);
        announce('The data package is in your downloads.');
      },
      (error: unknown) => setFault(error instanceof Error ? error.message : String(error)),
    );
  };
  const takeJudgement = (): void => {
    const text = `${JSON.stringify(judgement, null, 2)}\n`;
    saveFile(`${name}-verdict.json`, 'application/json', new TextEncoder().encode(text));
    announce('The verdict is in your downloads.');
  };
  return (
    <div className="downloads">
      <div className="buttons">
        <button type="button" className="button quiet" onClick={takePackage}>
          Download the data package (zip)
        </button>
        <button
          type="button"
          className="button quiet"
          disabled={current !== 'whole'}
          onClick={takeJudgement}
        >
          Download the verdict (JSON)
        </button>
      </div>
      {fault !== undefined && (
        <p className="fault" role="alert">
          The data package could not be made: {fault}
        </p>
      )}
    </div>
  );
}
