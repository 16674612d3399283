import { type ReactNode, useState } from 'react';
import type { Field, Plan } from './usePlan';
import { namesOf } from './usePlan';

/** Asks why, once something that was sealed has been changed. The change itself is kept already. */
function WhyChanged({ plan, fields }: { readonly plan: Plan; readonly fields: readonly Field[] }) {
  const [why, setWhy] = useState('');
  return (
    <div className="plan-why" role="group" aria-label="A change after the seal">
      <label className="plan-why-label">
        <span>
          You changed {namesOf(fields)} after the plan was sealed. It is kept, and listed as a
          departure. Why was it changed?
        </span>
        <input
          type="text"
          value={why}
          maxLength={1000}
          onChange={(event) => setWhy(event.target.value)}
          onKeyDown={(event) => {
            if (event.key === 'Enter') plan.explain(why);
          }}
        />
      </label>
      <div className="buttons">
        <button type="button" className="button quiet" onClick={() => plan.explain(why)}>
          {why.trim() === '' ? 'Leave it without a reason' : 'Keep the reason'}
        </button>
      </div>
    </div>
  );
}

/** One numbered question of the plan. */
export function Question(props: {
  readonly number: number;
  readonly title: string;
  readonly plan: Plan;
  /** The fields it asks for. */
  readonly fields: readonly Field[];
  readonly answered: boolean;
  readonly children: ReactNode;
}) {
  const { number, title, plan, fields, answered, children } = props;
  const changed = plan.unexplained.filter((field) => fields.includes(field));
  const id = `question-${number}`;
  return (
    <section
      className="plan-question"
      id={id}
      aria-labelledby={`${id}-title`}
      data-answered={answered || undefined}
    >
      <h2 id={`${id}-title`} tabIndex={-1}>
        <span className="plan-number-mark">{number}</span>
        <span>
          {title}
          <span className="heard-only">{answered ? ' Answered.' : ' Not answered yet.'}</span>
        </span>
      </h2>
      {children}
      {changed.length > 0 && <WhyChanged plan={plan} fields={changed} />}
    </section>
  );
}
