import { type KeyboardEvent, type ReactNode, useId, useState } from 'react';

export type FigureProps = {
  readonly label: string;
  /** `leaves`, `%`: said with the number. */
  readonly unit: string;
  readonly value: number | undefined;
  /** The first of the numbers that are one tap away. */
  readonly near: number;
  readonly most?: number;
  /** What stands under the name: last round's figure. */
  readonly hint?: ReactNode;
  /** Undefined takes the figure back. */
  readonly onChange: (value: number | undefined) => void;
};

const choices = 4;

/** A text field's own number while it is typed in; written when it is left. */
function useTyped(value: number | undefined, onChange: FigureProps['onChange']) {
  const [typed, setTyped] = useState<string>();
  const leave = (): void => {
    if (typed === undefined) return;
    setTyped(undefined);
    const text = typed.trim();
    if (text === '') onChange(undefined);
    else if (/^\d{1,6}$/.test(text)) onChange(Number(text));
  };
  const shown = typed ?? (value === undefined ? '' : String(value));
  return { shown, setTyped, leave, drop: () => setTyped(undefined) };
}

/**
 * A whole number for one wet thumb: four likely numbers a tap away, one more and one fewer at the
 * ends, and the number itself to type in. Arrow keys count up and down.
 */
export function Figure(props: FigureProps) {
  const { label, unit, value, near, most = 999, hint, onChange } = props;
  const id = useId();
  const { shown, setTyped, leave, drop } = useTyped(value, onChange);
  const to = (n: number): void => {
    drop();
    onChange(Math.min(most, Math.max(0, n)));
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const by = { ArrowUp: 1, ArrowDown: -1, PageUp: 5, PageDown: -5 }[event.key];
    if (event.key === 'Enter') leave();
    if (by === undefined) return;
    event.preventDefault();
    to(value === undefined ? near : value + by);
  };
  const from = Math.min(near, Math.max(0, most - choices + 1));
  return (
    <div className="figure" role="group" aria-labelledby={`${id}name`}>
      <div className="figure-head">
        <div>
          <h2 className="figure-name" id={`${id}name`}>
            {label}
          </h2>
          <p className="figure-hint" id={`${id}hint`}>
            {hint}
          </p>
        </div>
        <input
          className="figure-number"
          type="text"
          inputMode="numeric"
          autoComplete="off"
          role="spinbutton"
          aria-label={`${label}, ${unit}`}
          aria-describedby={`${id}hint`}
          aria-valuemin={0}
          aria-valuemax={most}
          {...(value === undefined ? {} : { 'aria-valuenow': value })}
          aria-valuetext={value === undefined ? 'not counted yet' : `${value} ${unit}`}
          placeholder="–"
          value={shown}
          onChange={(event) => setTyped(event.target.value.replace(/\D/g, '').slice(0, 6))}
          onFocus={(event) => event.target.select()}
          onBlur={leave}
          onKeyDown={onKeyDown}
        />
      </div>
      <div className="figure-keys">
        <button
          type="button"
          aria-label={`${label}: one fewer`}
          disabled={value === 0}
          onClick={() => to((value ?? near) - 1)}
        >
          −
        </button>
        {Array.from({ length: choices }, (_, i) => from + i).map((n) => (
          <button
            key={n}
            type="button"
            aria-pressed={value === n}
            aria-label={`${label}: ${n}`}
            onClick={() => to(n)}
          >
            {n}
          </button>
        ))}
        <button
          type="button"
          aria-label={`${label}: one more`}
          disabled={value === most}
          onClick={() => to(value === undefined ? near + choices : value + 1)}
        >
          +
        </button>
      </div>
    </div>
  );
}
