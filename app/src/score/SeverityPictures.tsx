import { SeverityLeafPicture, severitySteps } from '@fairbed/report';
import { useId } from 'react';
import { PercentInput } from './NumberInput';

type Disease = { readonly id: string; readonly name: string };

type OneProps = {
  readonly name: string;
  readonly value: number | undefined;
  readonly onChange: (value: number | undefined) => void;
};

/** Nine drawn leaves of known severity to choose by, and the number to type. */
function OneDisease({ name, value, onChange }: OneProps) {
  const id = useId();
  return (
    <div className="figure" role="group" aria-labelledby={id}>
      <div className="figure-head">
        <div>
          <h2 className="figure-name" id={id}>
            Leaf area with {name.toLowerCase()}, %
          </h2>
          <p className="figure-hint">
            Which leaf is most like the plant’s mean, healthy leaves counted in?
          </p>
        </div>
        <PercentInput
          label={`Leaf area with ${name.toLowerCase()}`}
          value={value}
          onChange={onChange}
        />
      </div>
      <div className="leaf-choices">
        {severitySteps.map((step) => (
          <button
            key={step}
            type="button"
            aria-pressed={value === step}
            aria-label={`${step} percent of the leaf area`}
            onClick={() => onChange(value === step ? undefined : step)}
          >
            <SeverityLeafPicture percent={step} width={84} isDecoration />
            {step} %
          </button>
        ))}
      </div>
    </div>
  );
}

/** Share of the leaf area diseased: of the target disease, and of each other on the same leaves. */
export function SeverityPictures(props: {
  readonly diseases: readonly Disease[];
  readonly value: (disease: string | undefined) => number | undefined;
  readonly onChange: (value: number | undefined, disease: string | undefined) => void;
}) {
  const { diseases, value, onChange } = props;
  return (
    <div className="stack">
      {diseases.map(({ id, name }, i) => {
        const disease = i === 0 ? undefined : id;
        return (
          <OneDisease
            key={id}
            name={name}
            value={value(disease)}
            onChange={(n) => onChange(n, disease)}
          />
        );
      })}
    </div>
  );
}
