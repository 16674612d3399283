import { useId } from 'react';
import { today } from '../plan/today';
import { bedHref, historyHref, shareHref } from '../route';
import { DueItem } from './DueItem';
import { withLongDays } from './dueWords';
import { answerOf, type NowItem } from './nowOf';
import { type Looked, useNow } from './useNow';
import '../style/now.css';

type OtherItem = Exclude<NowItem, { readonly kind: 'due' }>;

/** A clash or a back-up that is wanted. */
function Other({ id, item }: { readonly id: string; readonly item: OtherItem }) {
  return (
    <li className="due" data-when={item.when}>
      <div className="due-words">
        <p className="due-what">
          <span className="due-mark">Today</span> {item.what}
        </p>
        <p className="due-why">{withLongDays(item.why)}</p>
      </div>
      {item.kind === 'clash' ? (
        <a className="button quiet" href={historyHref(id)}>
          Look at the clash
        </a>
      ) : (
        <a className="button quiet" href={shareHref(id)}>
          Go to the back-up
        </a>
      )}
    </li>
  );
}

function OneTrial({ looked }: { readonly looked: Looked }) {
  const { id, title, trial, items } = looked;
  const heading = useId();
  return (
    <section aria-labelledby={heading} className="now-trial">
      <h2 id={heading}>
        <a href={bedHref(id)}>{title}</a>
      </h2>
      {items.length === 0 ? (
        <p className="soft">Nothing is to be done here now.</p>
      ) : (
        <ul className="dues">
          {items.map((item, i) =>
            item.kind === 'due' ? (
              <DueItem key={i} {...{ id, trial }} due={item.due} today={today()} />
            ) : (
              <Other key={i} {...{ id, item }} />
            ),
          )}
        </ul>
      )}
    </section>
  );
}

/** What needs doing today in every trial that is kept as a book, and why. */
export function NowPanel({ ids }: { readonly ids: readonly string[] }) {
  const { looked, faults, done } = useNow(ids);
  const trials = ids.flatMap((id) => looked.get(id) ?? []);
  return (
    <div className="now" data-testid="now">
      <p className="lead" role="status">
        {done ? withLongDays(answerOf(trials)) : 'Looking into your trials …'}
      </p>
      {trials.map((one) => (
        <OneTrial key={one.id} looked={one} />
      ))}
      {[...faults].map(([id, fault]) => (
        <p key={id} className="sheet fault" role="alert">
          A trial could not be opened: {fault} Close other tabs of Fairbed and reload.
        </p>
      ))}
    </div>
  );
}
