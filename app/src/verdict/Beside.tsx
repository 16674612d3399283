import type { MethodUsed } from '@fairbed/verdict';
import { lowered } from './Asked';
import { useCurrent } from './current';

/** The second method where it says otherwise than the one that decides, before any picture. */
export function Beside({ method }: { readonly method: MethodUsed }) {
  const { beside, offered, used, rule } = method;
  const isOld = useCurrent() === 'old';
  // Beside the sentence of another question it would contradict what it does not speak of.
  if (beside === undefined || isOld) return null;
  const first = offered.find(({ id }) => id === used)?.title ?? used;
  return (
    <section className="sheet beside" aria-labelledby="beside-title" data-testid="beside">
      <h2 id="beside-title" tabIndex={-1}>
        Does another way of weighing agree?
      </h2>
      <p>
        <strong>Not in all.</strong> Weighed by {lowered(beside.title)}: {beside.says}
      </p>
      <p className="soft small">
        The answer above rests on {lowered(first)}. {rule}
      </p>
    </section>
  );
}
