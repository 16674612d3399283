import { useId, useState } from 'react';
import { useAnnounce } from '../Announcer';
import { saveBackup } from '../book/exchange';
import type { OpenBook } from '../book/liveBook';
import { eraseBook } from '../book/openBook';
import { shelfHref } from '../route';
import { goTo } from '../useRoute';

const word = 'erase';

/** Erases a trial from this device for good; a back-up is offered first. */
export function Erase(props: {
  readonly open: OpenBook;
  readonly title: string;
  /** Entries that no back-up holds. */
  readonly unsaved: number;
}) {
  const { open, title, unsaved } = props;
  const announce = useAnnounce();
  const id = useId();
  const [typed, setTyped] = useState('');
  const [fault, setFault] = useState<string>();
  const failed = (wrong: unknown): void =>
    setFault(wrong instanceof Error ? wrong.message : String(wrong));
  const erase = (): void => {
    if (typed.trim().toLowerCase() !== word) {
      setFault(`type the word ${word} in the field.`);
      return;
    }
    eraseBook(open.id).then(() => {
      announce(`${title} is erased from this device.`);
      goTo(shelfHref);
    }, failed);
  };
  return (
    <details className="bed-write">
      <summary>Erase this trial from this device</summary>
      <form
        className="bed-form"
        onSubmit={(event) => {
          event.preventDefault();
          erase();
        }}
      >
        <p className="bed-caution">
          All entries, their history and photos go from this device for good.{' '}
          {unsaved === 0
            ? 'The last back-up holds all of them.'
            : 'No back-up holds all of them: save one first.'}
        </p>
        {unsaved > 0 && (
          <button
            type="button"
            className="button"
            onClick={() =>
              void saveBackup(open, { photos: true }).then(
                () => announce('The back-up is in your downloads.'),
                failed,
              )
            }
          >
            Save a back-up first
          </button>
        )}
        <div className="field">
          <label htmlFor={id}>Type “{word}” to go on</label>
          <input
            id={id}
            type="text"
            autoComplete="off"
            autoCapitalize="none"
            maxLength={20}
            value={typed}
            onChange={(event) => setTyped(event.target.value)}
          />
        </div>
        {fault !== undefined && (
          <p className="bed-fault" role="alert">
            It is not erased: {fault}
          </p>
        )}
        <div className="buttons">
          <button type="submit" className="button quiet">
            Erase it for good
          </button>
        </div>
      </form>
    </details>
  );
}
