import type { Day } from '@fairbed/field';
import type { Due, Trial } from '@fairbed/trial';
import { beginRound } from '../bed/rounds';
import { openBook } from '../book/openBook';
import { scoreHref } from '../route';
import { goTo } from '../useRoute';
import { spoken, stepOf } from './dueWords';

const marks: Readonly<Record<Due['when'], string>> = {
  caution: 'Caution',
  now: 'Today',
  later: 'Later',
};

/** One thing to do: what, why, and the way to it. */
export function DueItem(props: {
  readonly id: string;
  readonly due: Due;
  readonly trial: Trial;
  readonly today: Day;
  /** Leave out links to this address: one is there already. */
  readonly here?: string;
}) {
  const { id, due, trial, today, here } = props;
  const step = stepOf(id, due, trial, today);
  const { what, why } = spoken(due);
  const begin = (): void =>
    void openBook(id).then((open) => goTo(scoreHref(id, beginRound(open, today))));
  return (
    <li className="due" data-when={due.when}>
      <div className="due-words">
        <p className="due-what">
          <span className="due-mark">{marks[due.when]}</span> {what}
        </p>
        <p className="due-why">{why}</p>
      </div>
      {step?.kind === 'link' && step.href !== here && (
        <a className={due.when === 'now' ? 'button' : 'button quiet'} href={step.href}>
          {step.label}
        </a>
      )}
      {step?.kind === 'begin' && (
        <button type="button" className="button" onClick={begin}>
          {step.label}
        </button>
      )}
    </li>
  );
}
