import { useId, useState } from 'react';
import { Button, FileTrigger } from 'react-aria-components';
import { useAnnounce } from '../Announcer';
import { takeIn } from '../book/exchange';
import { shareHref } from '../route';
import { takeFile } from '../sheet/pickedFile';
import type { Taken } from './taken';
import { TakenWords } from './TakenNote';
import { takenWords } from './words';

type State =
  | { readonly is: 'idle' }
  | { readonly is: 'reading'; readonly file: string }
  | ({ readonly is: 'taken' } & Taken)
  | { readonly is: 'failed'; readonly file: string; readonly why: string };

/** Joins a file from another device to what is here. */
export function BringIn({ id }: { readonly id: string }) {
  const announce = useAnnounce();
  const heading = useId();
  const [state, setState] = useState<State>({ is: 'idle' });
  const read = async (file: File): Promise<void> => {
    // Sheets and trials without a ledger have a screen of their own.
    if (!/\.zip$/i.test(file.name)) {
      takeFile(file);
      return;
    }
    setState({ is: 'reading', file: file.name });
    try {
      const taken = await takeIn(new Uint8Array(await file.arrayBuffer()), file.name);
      if (taken.kind === 'trial') {
        takeFile(file);
        return;
      }
      setState({ is: 'taken', taken, file: file.name });
      announce(takenWords(taken, file.name));
    } catch (fault) {
      const why = fault instanceof Error ? fault.message : String(fault);
      setState({ is: 'failed', file: file.name, why });
    }
  };
  return (
    <section className="bed-part" aria-labelledby={heading}>
      <h2 id={heading}>Bring in a file</h2>
      <p>
        A back-up of this trial from another device is joined to what is here: entries that are new
        are added, nothing is overwritten. A damaged file is refused whole. It can also be dropped
        on any page.
      </p>
      <FileTrigger
        acceptedFileTypes={['.zip']}
        onSelect={(files) => {
          const file = files?.[0];
          if (file) void read(file);
        }}
      >
        <Button className="button quiet">Choose a back-up file</Button>
      </FileTrigger>
      {state.is === 'reading' && <p role="status">Reading {state.file} …</p>}
      {state.is === 'taken' && (
        <div
          className={state.taken.kind === 'refused' ? 'bed-fault stack' : 'sheet stack'}
          data-testid="taken"
        >
          <TakenWords taken={state.taken} file={state.file} here={shareHref(id)} />
        </div>
      )}
      {state.is === 'failed' && (
        <p className="bed-fault" role="alert">
          {state.file} could not be taken in: {state.why} Nothing was changed.
        </p>
      )}
    </section>
  );
}
