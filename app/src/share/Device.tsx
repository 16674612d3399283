import { useEffect, useId, useState } from 'react';
import { useAnnounce } from '../Announcer';
import { askToKeep, type BroughtBack, broughtBack, type StorageHealth } from '../book/health';
import { useWho } from '../book/useBook';
import { setWho } from '../book/writer';
import { broughtBackWords, keepingWords, roomWords } from './words';

/** Whether the browser has promised to keep what is here, how much room there is, and whose it is. */
export function Storage({ health }: { readonly health: StorageHealth }) {
  const announce = useAnnounce();
  const id = useId();
  const [asked, setAsked] = useState<boolean>();
  const persisted = asked ?? health.persisted;
  const shown = persisted === undefined ? health : { ...health, persisted };
  const room = roomWords(health);
  const [back, setBack] = useState<BroughtBack>();
  useEffect(() => {
    void broughtBack().then(setBack);
  }, []);
  const ask = (): void =>
    void askToKeep().then((granted) => {
      setAsked(granted);
      announce(
        granted ? 'The browser has promised to keep it.' : 'The browser did not promise it.',
      );
    });
  return (
    <section className="bed-part" aria-labelledby={id}>
      <h2 id={id}>How does this device keep it?</h2>
      <p>{keepingWords(shown)}</p>
      {room !== undefined && <p>{room}</p>}
      {back !== undefined && <p>{broughtBackWords(back)}</p>}
      {persisted === false && (
        <>
          <button type="button" className="button quiet" onClick={ask}>
            {asked === undefined ? 'Ask the browser to keep it' : 'Ask again'}
          </button>
          {asked === false && (
            <p className="soft small">
              It said no. Browsers say yes to pages that are used often or installed on the home
              screen.
            </p>
          )}
        </>
      )}
    </section>
  );
}

/** The name that goes with what is written on this device. */
export function Name() {
  const announce = useAnnounce();
  const id = useId();
  const name = useWho();
  const [typed, setTyped] = useState<string>();
  const keep = (): void => {
    if (typed === undefined) return;
    setWho(typed);
    setTyped(undefined);
    announce(typed.trim() === '' ? 'The name is taken away.' : `The name is ${typed.trim()}.`);
  };
  return (
    <section className="bed-part" aria-labelledby={id}>
      <h2 id={id}>Who writes on this device?</h2>
      <form
        className="bed-form"
        onSubmit={(event) => {
          event.preventDefault();
          keep();
        }}
      >
        <div className="field">
          <label htmlFor={`${id}name`}>Name on this device</label>
          <input
            id={`${id}name`}
            type="text"
            maxLength={100}
            autoComplete="nickname"
            value={typed ?? name}
            onChange={(event) => setTyped(event.target.value)}
            onBlur={keep}
            aria-describedby={`${id}hint`}
          />
          <p id={`${id}hint`} className="soft small">
            It goes with every entry from now on, and into files. A first name or a letter will do.
          </p>
        </div>
        <div className="buttons">
          <button type="submit" className="button quiet">
            Keep the name
          </button>
        </div>
      </form>
    </section>
  );
}

/** How two phones work on one trial. */
export function SecondDevice() {
  const id = useId();
  return (
    <section className="bed-part" aria-labelledby={id}>
      <h2 id={id}>How does a second phone join in?</h2>
      <ol className="share-steps">
        <li>Save a back-up here and hand the file over: by cable, mail or whatever you use.</li>
        <li>
          On the other phone open Fairbed and choose or drop the file. The trial is there at once,
          with its codes, and works without a network.
        </li>
        <li>Give each device its own name, so that the history says who wrote what.</li>
        <li>
          Score on both. Afterwards save a back-up on one and bring it in on the other, then the
          other way round: both then hold everything.
        </li>
        <li>
          Where both wrote something different about the same plant, both entries are kept and you
          are asked which is right.
        </li>
      </ol>
      <p className="soft">
        Two tabs or windows of one browser see each other’s entries by themselves.
      </p>
    </section>
  );
}
