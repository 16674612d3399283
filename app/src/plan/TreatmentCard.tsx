import type { Treatment } from '@fairbed/trial';
import { without } from '../writable';
import { type ReactNode, useState } from 'react';
import { NumberField, TextField } from './Field';
import { kindWords } from './treatmentKinds';

type Change = (next: Treatment) => void;
type FieldsProps = { readonly treatment: Treatment; readonly onChange: Change };

/** The treatment with a text set, or without it where the text is empty. */
const withText = (
  treatment: Treatment,
  key: 'activeIngredient' | 'cultivar' | 'note' | 'modeOfAction',
  text: string,
): Treatment => (text === '' ? without(treatment, key) : { ...treatment, [key]: text });

const withNumber = (
  treatment: Treatment,
  key: 'everyDays' | 'preHarvestDays' | 'reentryHours',
  value: number | undefined,
): Treatment => (value === undefined ? without(treatment, key) : { ...treatment, [key]: value });

function RateFields({ treatment, onChange }: FieldsProps) {
  const { rate } = treatment;
  return (
    <>
      <NumberField
        label="Rate as on the label"
        value={rate?.amount}
        least={0}
        most={1_000_000}
        optional
        onSave={(amount) =>
          onChange(
            amount === undefined
              ? without(treatment, 'rate')
              : { ...treatment, rate: { amount, unit: rate?.unit ?? 'g/l' } },
          )
        }
      />
      {rate !== undefined && (
        <TextField
          label="Unit of the rate"
          value={rate.unit}
          list={['g/l', 'ml/l', 'g/10 m²', 'ml/10 m²', 'kg/ha', 'l/ha', '%']}
          onSave={(text) => {
            if (text.trim() === '') return 'A rate needs a unit, such as g/l.';
            onChange({ ...treatment, rate: { ...rate, unit: text.trim() } });
            return undefined;
          }}
        />
      )}
    </>
  );
}

const waits = [
  ['everyDays', 'Days from one spray to the next', 'Not oftener than the label allows.'],
  ['preHarvestDays', 'Days from a spray to harvest', 'The pre-harvest interval of the label.'],
  ['reentryHours', 'Hours to keep out after a spray', 'The re-entry interval of the label.'],
] as const;

function ProductFields({ treatment, onChange }: FieldsProps) {
  return (
    <TextField
      label="Active ingredient"
      value={treatment.activeIngredient ?? ''}
      hint="Not the brand: one substance is sold under many names."
      onSave={(text) => {
        onChange(withText(treatment, 'activeIngredient', text.trim()));
        return undefined;
      }}
    />
  );
}

const saysLabel = (treatment: Treatment): boolean =>
  [treatment.rate, treatment.note, ...waits.map(([key]) => treatment[key])].some(
    (answer) => answer !== undefined,
  );

/** What the label says; open from the start where something of it is written down. */
function LabelFields({ treatment, onChange }: FieldsProps) {
  const [wasSaid] = useState(() => saysLabel(treatment));
  return (
    <details className="plan-label" open={wasSaid}>
      <summary>Rate and waiting times of the label</summary>
      <div className="plan-row">
        <RateFields {...{ treatment, onChange }} />
        {waits.map(([key, label, hint]) => (
          <NumberField
            key={key}
            label={label}
            hint={hint}
            value={treatment[key]}
            least={0}
            most={1000}
            optional
            onSave={(value) => onChange(withNumber(treatment, key, value))}
          />
        ))}
        <TextField
          label="Note on the label"
          value={treatment.note ?? ''}
          hint="Crop and disease it is allowed for, sprays in a season, what to wear."
          onSave={(text) => {
            onChange(withText(treatment, 'note', text.trim()));
            return undefined;
          }}
        />
      </div>
    </details>
  );
}

function PracticeFields({ treatment, onChange }: FieldsProps) {
  const practice = treatment.practice ?? { what: '', value: '' };
  const keep = (next: typeof practice): undefined => {
    const isEmpty = next.what === '' && next.value === '';
    onChange(isEmpty ? without(treatment, 'practice') : { ...treatment, practice: next });
  };
  return (
    <>
      <TextField
        label="What is done otherwise"
        value={practice.what}
        list={['Spacing', 'Watering hour', 'Old leaves taken off', 'Cover', 'Mulch']}
        onSave={(text) => keep({ ...practice, what: text.trim() })}
      />
      <TextField
        label="How it is here"
        value={practice.value}
        hint="Such as: 45 cm; at dawn; twice a week."
        onSave={(text) => keep({ ...practice, value: text.trim() })}
      />
    </>
  );
}

function KindFields({ treatment, onChange }: FieldsProps) {
  if (treatment.kind === 'product') return <ProductFields {...{ treatment, onChange }} />;
  if (treatment.kind === 'practice') return <PracticeFields {...{ treatment, onChange }} />;
  if (treatment.kind !== 'cultivar') return null;
  return (
    <TextField
      label="Cultivar"
      value={treatment.cultivar ?? ''}
      onSave={(text) => {
        onChange(withText(treatment, 'cultivar', text.trim()));
        return undefined;
      }}
    />
  );
}

/** One treatment: its mark, its name, what it is, and what it takes to say exactly what is done. */
export function TreatmentCard(props: {
  readonly treatment: Treatment;
  readonly mark: ReactNode;
  readonly others: readonly string[];
  readonly isControl: boolean;
  readonly onChange: Change;
  readonly onControl: () => void;
  readonly onRemove: () => void;
}) {
  const { treatment, mark, others, isControl, onChange, onControl, onRemove } = props;
  const words = kindWords(treatment.kind);
  const rename = (text: string): string | undefined => {
    const name = text.trim();
    if (name === '') return 'A treatment needs a name.';
    if (others.some((other) => other.toLowerCase() === name.toLowerCase())) {
      return `Another treatment is called “${name}”. Give this one its own name.`;
    }
    onChange({ ...treatment, name });
    return undefined;
  };
  return (
    <li className="plan-card">
      <div className="plan-card-head">
        {mark}
        <h3>{treatment.name}</h3>
        <span className="soft small">
          {words?.title}
          {isControl && words?.id !== 'untreated' ? ', the control' : ''}
        </span>
      </div>
      {words !== undefined && <p className="soft small">{words.why}</p>}
      <div className="plan-row">
        <TextField label="Name" value={treatment.name} onSave={rename} />
        <KindFields {...{ treatment, onChange }} />
      </div>
      {treatment.kind === 'product' && <LabelFields {...{ treatment, onChange }} />}
      <div className="buttons">
        <label className="choice plan-check">
          <input type="radio" name="control" checked={isControl} onChange={onControl} />
          Others are compared with this one
        </label>
        <button type="button" className="button quiet" onClick={onRemove}>
          Remove {treatment.name}
        </button>
      </div>
    </li>
  );
}
