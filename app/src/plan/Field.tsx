import { type Day, readDay } from '@fairbed/field';
import { type ReactNode, useEffect, useId, useRef, useState } from 'react';
import { type NumberLimits, readNumber } from './figures';

/** Keeps an answer: undefined when it is kept, else what is wrong with it, in words. */
type Keep = (text: string) => string | undefined;

/**
 * What is being typed. It is kept when the field is left, the page put away (as far as the browser
 * still writes then) or the screen changed; what can't be kept stays with words beside it.
 */
function useDraft(stored: string, keep: Keep) {
  const [draft, setDraft] = useState<string>();
  const [fault, setFault] = useState<string>();
  const leave = (): void => {
    if (draft === undefined) return;
    const wrong = draft.trim() === stored.trim() ? undefined : keep(draft);
    setFault(wrong);
    if (wrong === undefined) setDraft(undefined);
  };
  const latest = useRef(leave);
  useEffect(() => {
    latest.current = leave;
  });
  useEffect(() => {
    const putAway = (): void => latest.current();
    window.addEventListener('pagehide', putAway);
    document.addEventListener('visibilitychange', putAway);
    return () => {
      putAway();
      window.removeEventListener('pagehide', putAway);
      document.removeEventListener('visibilitychange', putAway);
    };
  }, []);
  return { text: draft ?? stored, fault, change: setDraft, leave };
}

type FrameProps = {
  readonly id: string;
  readonly label: string;
  readonly hint?: string | undefined;
  readonly fault: string | undefined;
  readonly children: ReactNode;
};

function FieldFrame({ id, label, hint, fault, children }: FrameProps) {
  return (
    <div className="field plan-field">
      <label htmlFor={id}>{label}</label>
      {children}
      {hint !== undefined && (
        <p id={`${id}-hint`} className="soft small">
          {hint}
        </p>
      )}
      {fault !== undefined && (
        <p id={`${id}-fault`} className="plan-fault" role="alert">
          {fault}
        </p>
      )}
    </div>
  );
}

const describing = (id: string, hint: string | undefined, fault: string | undefined) => {
  const ids = [hint === undefined ? '' : `${id}-hint`, fault === undefined ? '' : `${id}-fault`];
  const by = ids.filter((part) => part !== '').join(' ');
  return { ...(by === '' ? {} : { 'aria-describedby': by }), 'aria-invalid': fault !== undefined };
};

export type TextFieldProps = {
  readonly label: string;
  readonly value: string;
  readonly onSave: Keep;
  readonly hint?: string;
  readonly long?: boolean;
  readonly placeholder?: string;
  /** Answers to choose from; others can be written all the same. */
  readonly list?: readonly string[];
  readonly lang?: string;
};

/** An answer in words. */
export function TextField(props: TextFieldProps) {
  const { label, value, onSave, hint, long = false, placeholder, list, lang } = props;
  const id = useId();
  const { text, fault, change, leave } = useDraft(value, onSave);
  const shared = {
    id,
    value: text,
    placeholder,
    lang,
    maxLength: long ? 4000 : 300,
    onBlur: leave,
    ...describing(id, hint, fault),
  };
  return (
    <FieldFrame {...{ id, label, hint, fault }}>
      {long ? (
        <textarea {...shared} rows={3} onChange={(event) => change(event.target.value)} />
      ) : (
        <input
          {...shared}
          type="text"
          autoComplete="off"
          {...(list === undefined ? {} : { list: `${id}-list` })}
          onChange={(event) => change(event.target.value)}
          onKeyDown={(event) => {
            if (event.key === 'Enter') leave();
          }}
        />
      )}
      {list !== undefined && (
        <datalist id={`${id}-list`}>
          {list.map((one) => (
            <option key={one} value={one} />
          ))}
        </datalist>
      )}
    </FieldFrame>
  );
}

export type NumberFieldProps = Omit<NumberLimits, 'name'> & {
  readonly label: string;
  /** What the sentence about a bad number calls it; the label where left out. */
  readonly name?: string;
  readonly value: number | undefined;
  /** Undefined: the field was emptied, which is allowed where `optional`. */
  readonly onSave: (value: number | undefined) => void;
  readonly optional?: boolean;
  readonly hint?: string;
};

/** An answer in figures. */
export function NumberField(props: NumberFieldProps) {
  const { label, name = label, value, onSave, optional = false, hint, unit, ...limits } = props;
  const id = useId();
  const { text, fault, change, leave } = useDraft(
    value === undefined ? '' : `${value}`,
    (typed) => {
      if (optional && typed.trim() === '') {
        onSave(undefined);
        return undefined;
      }
      const read = readNumber(typed, { name, ...limits, ...(unit === undefined ? {} : { unit }) });
      if (!read.ok) return read.what;
      onSave(read.value);
      return undefined;
    },
  );
  return (
    <FieldFrame {...{ id, label: unit === undefined ? label : `${label}, ${unit}`, hint, fault }}>
      <input
        id={id}
        type="text"
        inputMode={limits.whole === true ? 'numeric' : 'decimal'}
        className="plan-number"
        autoComplete="off"
        maxLength={40}
        value={text}
        onChange={(event) => change(event.target.value)}
        onBlur={leave}
        onKeyDown={(event) => {
          if (event.key === 'Enter') leave();
        }}
        {...describing(id, hint, fault)}
      />
    </FieldFrame>
  );
}

/** A day from the calendar. */
export function DayField(props: {
  readonly label: string;
  readonly value: string | undefined;
  readonly onSave: (day: Day | undefined) => void;
  readonly hint?: string;
}) {
  const { label, value = '', onSave, hint } = props;
  const id = useId();
  const { text, fault, change, leave } = useDraft(value, (typed) => {
    const day = typed === '' ? undefined : readDay(typed);
    if (typed !== '' && day === undefined) return `“${typed}” is no day of the calendar.`;
    onSave(day);
    return undefined;
  });
  return (
    <FieldFrame {...{ id, label, hint, fault }}>
      <input
        id={id}
        type="date"
        min="1900-01-01"
        max="2199-12-31"
        value={text}
        onChange={(event) => change(event.target.value)}
        onBlur={leave}
        {...describing(id, hint, fault)}
      />
    </FieldFrame>
  );
}
