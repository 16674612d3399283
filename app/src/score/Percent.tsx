import { useId } from 'react';
import { PercentInput } from './NumberInput';

/** A percentage by one tap on a likely one, or typed. A second tap takes it back. */
export function Percent(props: {
  readonly label: string;
  readonly hint: string;
  readonly choices: readonly number[];
  readonly value: number | undefined;
  readonly onChange: (value: number | undefined) => void;
}) {
  const { label, hint, choices, value, onChange } = props;
  const id = useId();
  return (
    <div className="figure" role="group" aria-labelledby={id}>
      <div className="figure-head">
        <div>
          <h3 className="figure-name" id={id}>
            {label}, %
          </h3>
          <p className="figure-hint">{hint}</p>
        </div>
        <PercentInput label={label} value={value} onChange={onChange} />
      </div>
      <div className="figure-keys five">
        {choices.map((n) => (
          <button
            key={n}
            type="button"
            aria-pressed={value === n}
            aria-label={`${label}: ${n} percent`}
            onClick={() => onChange(value === n ? undefined : n)}
          >
            {n}
          </button>
        ))}
      </div>
    </div>
  );
}
