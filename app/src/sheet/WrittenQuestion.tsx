import { useState } from 'react';

/** A question whose answer is written in: a year, or a day from the calendar. */
export function WrittenQuestion({
  id,
  question,
  why,
  write,
  optional,
  answer,
  onAnswer,
}: {
  readonly id: string;
  readonly question: string;
  readonly why?: string;
  readonly write: 'year' | 'day';
  readonly optional: boolean;
  readonly answer: string | undefined;
  readonly onAnswer: (answer: string) => void;
}) {
  const [text, setText] = useState(answer ?? '');
  const whyId = `${id}-why`;
  const change = (next: string): void => {
    setText(next);
    onAnswer(next.trim());
  };
  return (
    <div
      className="question"
      data-open={(answer === undefined && !optional) || undefined}
      data-optional={optional || undefined}
    >
      <label className="question-title" htmlFor={id}>
        {question}
      </label>
      <p id={whyId} className="soft small">
        {why}
        {optional && ' You can go on without it.'}
      </p>
      <input
        id={id}
        className="written"
        type={write === 'day' ? 'date' : 'text'}
        aria-describedby={whyId}
        value={text}
        onChange={(event) => change(event.target.value)}
        {...(write === 'year' ? { inputMode: 'numeric', maxLength: 4, placeholder: '2026' } : {})}
      />
    </div>
  );
}
