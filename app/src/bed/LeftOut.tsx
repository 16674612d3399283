import type { OpenBook } from '../book/liveBook';
import { withLongDays } from '../now/dueWords';

const mostShown = 20;

/** What was entered and is not in the trial as it is judged, and why; nothing where all is in it. */
export function LeftOut({ open }: { readonly open: OpenBook }) {
  const problems = open.problems();
  if (problems.length === 0) return null;
  return (
    <section className="bed-part" aria-labelledby="bed-left-out">
      <h2 id="bed-left-out">What of it is not used?</h2>
      <p className="soft small">It stays in the history. The verdict does not see it as entered.</p>
      <ul className="bed-list">
        {problems.slice(0, mostShown).map(({ what, do: remedy }, i) => (
          <li key={i}>
            <p>{withLongDays(`${what} ${remedy}`.trim())}</p>
          </li>
        ))}
      </ul>
      {problems.length > mostShown && <p>{problems.length - mostShown} more are not shown here.</p>}
    </section>
  );
}
