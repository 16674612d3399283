import { type ReactNode, useId, useState } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook, Writing } from '../book/liveBook';

/** What a form says: entries to write, or what is wrong, in words. */
export type Sent = readonly Writing[] | string;

/** A form whose answers are written as one step when it is sent. */
export function EntryForm(props: {
  readonly open: OpenBook;
  readonly send: string;
  /** Said once it is written. */
  readonly said: string;
  readonly read: (answers: FormData) => Sent;
  readonly onSent?: () => void;
  readonly children: ReactNode;
}) {
  const { open, send, said, read, onSent, children } = props;
  const announce = useAnnounce();
  const [fault, setFault] = useState<string>();
  const submit = (form: HTMLFormElement): void => {
    const sent = read(new FormData(form));
    if (typeof sent === 'string') {
      setFault(sent);
      return;
    }
    open.writeAll(sent).catch((wrong: unknown) => {
      setFault(`It was not kept: ${wrong instanceof Error ? wrong.message : String(wrong)}`);
    });
    setFault(undefined);
    form.reset();
    announce(said);
    onSent?.();
  };
  return (
    <form
      className="bed-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        submit(event.currentTarget);
      }}
    >
      {children}
      {fault !== undefined && (
        <p className="bed-fault" role="alert">
          {fault}
        </p>
      )}
      <div className="buttons">
        <button type="submit" className="button">
          {send}
        </button>
      </div>
    </form>
  );
}

type AskProps = {
  readonly name: string;
  readonly label: string;
  readonly hint?: string;
  readonly type?: 'text' | 'date' | 'time';
  readonly start?: string;
  readonly figures?: boolean;
};

/** One line to fill in. */
export function Ask({ name, label, hint, type = 'text', start = '', figures = false }: AskProps) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        name={name}
        type={type}
        defaultValue={start}
        maxLength={1000}
        autoComplete="off"
        {...(figures ? { inputMode: 'decimal' as const } : {})}
        {...(hint === undefined ? {} : { 'aria-describedby': `${id}hint` })}
      />
      {hint !== undefined && (
        <p id={`${id}hint`} className="soft small">
          {hint}
        </p>
      )}
    </div>
  );
}

/** Several lines to fill in. */
export function AskLong({ name, label, start = '' }: Omit<AskProps, 'type'>) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <textarea id={id} name={name} rows={3} maxLength={10_000} defaultValue={start} />
    </div>
  );
}

/** One of several. */
export function AskOne(props: {
  readonly name: string;
  readonly label: string;
  readonly start?: string;
  readonly options: readonly { readonly id: string; readonly title: string }[];
  readonly onChange?: (id: string) => void;
}) {
  const { name, label, start, options, onChange } = props;
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <select
        id={id}
        name={name}
        {...(start === undefined ? {} : { defaultValue: start })}
        onChange={(event) => onChange?.(event.target.value)}
      >
        {options.map((option) => (
          <option key={option.id} value={option.id}>
            {option.title}
          </option>
        ))}
      </select>
    </div>
  );
}

/** Plots by the codes on their stakes, any number of them. */
export function AskPlots(props: {
  readonly name: string;
  readonly label: string;
  readonly plots: readonly { readonly id: string; readonly code: string }[];
  readonly checked?: ReadonlySet<string>;
}) {
  const { name, label, plots, checked = new Set<string>() } = props;
  return (
    <fieldset className="bed-plots">
      <legend>{label}</legend>
      <div className="bed-checks">
        {plots.map(({ id, code }) => (
          <label key={id} className="bed-check">
            <input type="checkbox" name={name} value={id} defaultChecked={checked.has(id)} />
            {code}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

/** The text of an answer, trimmed; '' where there is none. */
export const answer = (answers: FormData, name: string): string => {
  const value = answers.get(name);
  return typeof value === 'string' ? value.trim() : '';
};

/** The ids that were ticked. */
export const ticked = (answers: FormData, name: string): readonly string[] =>
  answers.getAll(name).filter((id) => typeof id === 'string');

/** A name for a thing that no device has given yet. */
export const freshThing = (): string => crypto.randomUUID();
