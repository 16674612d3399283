import { departuresOf, type Trial } from '@fairbed/trial';
import { useMemo } from 'react';
import type { OpenBook } from '../book/liveBook';
import { withLongDays } from '../now/dueWords';
import { longDay, today } from '../plan/today';

/** What was done otherwise than the sealed plan says. */
export function Departures({ open, trial }: { readonly open: OpenBook; readonly trial: Trial }) {
  const day = today();
  // The trial is folded anew whenever an entry comes: so are its departures.
  const list = useMemo(() => departuresOf(open.source, day), [open, trial, day]);
  return (
    <section className="bed-part" aria-labelledby="bed-departures">
      <h2 id="bed-departures">What was done otherwise than planned?</h2>
      {list.length === 0 ? (
        <p>Nothing has departed from the plan.</p>
      ) : (
        <ul className="bed-list">
          {list.map((one, i) => (
            <li key={i}>
              <p>
                {one.day !== undefined && <span className="soft">{longDay(one.day)}. </span>}
                {withLongDays(one.what)}
              </p>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
