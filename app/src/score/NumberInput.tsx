import { useId, useState } from 'react';

/** A number to type, with a decimal comma or point; written when it is left, refused in words. */
export function NumberInput(props: {
  readonly label: string;
  readonly className?: string;
  readonly id?: string;
  readonly value: number | undefined;
  readonly from?: number;
  readonly to?: number;
  readonly onChange: (value: number | undefined) => void;
}) {
  const { label, className, id, value, from = -Infinity, to = Infinity, onChange } = props;
  const wrongId = useId();
  const [wrong, setWrong] = useState<string>();
  const leave = (text: string): void => {
    const n = Number(text.replace(',', '.'));
    if (text.trim() === '') onChange(undefined);
    else if (n >= from && n <= to && Number.isFinite(n)) onChange(n);
    else {
      const limits = Number.isFinite(to) ? `from ${from} to ${to}` : 'such as 2.5';
      setWrong(`“${text.trim().slice(0, 20)}” is not kept: type a number ${limits}.`);
      return;
    }
    setWrong(undefined);
  };
  return (
    <>
      <input
        key={value ?? 'none'}
        id={id}
        className={className}
        type="text"
        inputMode="decimal"
        aria-label={id === undefined ? label : undefined}
        aria-invalid={wrong !== undefined}
        aria-describedby={wrong === undefined ? undefined : wrongId}
        placeholder={className === undefined ? undefined : '–'}
        defaultValue={value ?? ''}
        onBlur={(event) => leave(event.target.value)}
      />
      {wrong !== undefined && (
        <p className="caution-note figure-wrong" id={wrongId} role="alert">
          {wrong}
        </p>
      )}
    </>
  );
}

/** A percentage to type, 0 to 100. */
export function PercentInput(props: {
  readonly label: string;
  readonly value: number | undefined;
  readonly onChange: (value: number | undefined) => void;
}) {
  const { label, value, onChange } = props;
  return (
    <NumberInput
      label={`${label}, percent`}
      className="figure-number small-number"
      value={value}
      from={0}
      to={100}
      onChange={onChange}
    />
  );
}
