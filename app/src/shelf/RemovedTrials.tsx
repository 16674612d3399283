import { useAnnounce } from '../Announcer';
import { forgetTrial } from '../work/trials';
import type { Card } from './card';
import { erase, putOn } from './cards';

/** What was taken off the shelf and is still on the device. */
export function RemovedTrials({ removed }: { readonly removed: readonly Card[] }) {
  const announce = useAnnounce();
  if (removed.length === 0) return null;
  return (
    <details className="removed">
      <summary>Removed trials ({removed.length})</summary>
      <ul className="removed-list">
        {removed.map((card) => (
          <li key={card.id}>
            <span>{card.title}</span>
            <span className="buttons">
              <button
                type="button"
                className="button quiet"
                aria-label={`Put back ${card.title}`}
                onClick={() =>
                  void putOn(card).then(() => announce(`${card.title} is back on the shelf.`))
                }
              >
                Put back
              </button>
              <button
                type="button"
                className="button quiet"
                aria-label={`Erase for good: ${card.title}`}
                onClick={() =>
                  void erase(card).then(() => {
                    forgetTrial(card.id);
                    announce(`${card.title} is erased.`);
                  })
                }
              >
                Erase for good
              </button>
            </span>
          </li>
        ))}
      </ul>
    </details>
  );
}
