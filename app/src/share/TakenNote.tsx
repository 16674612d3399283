import { useEffect } from 'react';
import { useAnnounce } from '../Announcer';
import { bedHref, historyHref } from '../route';
import { ProblemTable } from '../sheet/ProblemTable';
import { keepTaken, type Taken, useTaken } from './taken';
import { takenWords } from './words';

/** What a file brought: what was new, what clashes, or why it was refused. */
export function TakenWords({ taken, file, here }: Taken & { readonly here: string }) {
  const id = 'id' in taken ? taken.id : undefined;
  const problems = taken.kind === 'refused' ? taken.problems : taken.notes;
  return (
    <>
      <p>
        <strong>{takenWords(taken, file)}</strong>
      </p>
      {problems.length > 0 && (
        <ProblemTable
          caption={taken.kind === 'refused' ? 'What is wrong' : 'What is to be noted'}
          problems={problems}
          fileName={file}
        />
      )}
      <div className="buttons">
        {id !== undefined && 'clashes' in taken && taken.clashes > 0 && (
          <a className="button" href={historyHref(id)}>
            Look at what clashes
          </a>
        )}
        {id !== undefined && bedHref(id) !== here && (
          <a className="button quiet" href={bedHref(id)}>
            Go to its bed
          </a>
        )}
      </div>
    </>
  );
}

/** Told once on the page of the trial that a dropped or chosen file belongs to. */
export function TakenNote({ id }: { readonly id: string }) {
  const announce = useAnnounce();
  const last = useTaken();
  const mine = last !== undefined && 'id' in last.taken && last.taken.id === id ? last : undefined;
  const words = mine && takenWords(mine.taken, mine.file);
  useEffect(() => {
    if (words !== undefined) announce(words);
  }, [words, announce]);
  if (mine === undefined) return null;
  return (
    <div className="undo" role="group" aria-label="What the file brought">
      <div className="stack">
        <TakenWords {...mine} here={bedHref(id)} />
      </div>
      <button type="button" className="button quiet" onClick={() => keepTaken(undefined)}>
        Read
      </button>
    </div>
  );
}
