import type { Trial } from '@fairbed/trial';
import { NumberField, TextField } from './Field';

export type Bed = Trial['beds'][number];
type Blocked = NonNullable<Bed['blocked']>[number];

const size = { least: 0.05, most: 1000, unit: 'm' } as const;
const place = { least: -1000, most: 1000, unit: 'm' } as const;
/** Metres: what a new path or corner measures until it is corrected. */
const firstPath = 0.4;
const firstCorner = 1;

const blockedWords = { path: 'Path', unusable: 'Unusable corner' } as const;

function BlockedFields(props: {
  readonly part: Blocked;
  readonly name: string;
  readonly onChange: (next: Blocked) => void;
  readonly onRemove: () => void;
}) {
  const { part, name, onChange, onRemove } = props;
  const field = (key: 'x' | 'y' | 'width' | 'height', label: string) => (
    <NumberField
      label={label}
      name={`${name}: ${label.toLowerCase()}`}
      value={part[key]}
      {...(key === 'x' || key === 'y' ? { ...place, least: 0 } : size)}
      onSave={(value) => value !== undefined && onChange({ ...part, [key]: value })}
    />
  );
  return (
    <fieldset className="plan-part">
      <legend>{name}</legend>
      <div className="plan-row plan-figures">
        {field('x', 'From the west edge')}
        {field('y', 'From the south edge')}
        {field('width', 'West to east')}
        {field('height', 'South to north')}
        <button
          type="button"
          className="button quiet plan-end"
          aria-label={`Remove: ${name}`}
          onClick={onRemove}
        >
          Remove
        </button>
      </div>
    </fieldset>
  );
}

function BlockedParts({
  bed,
  onChange,
}: {
  readonly bed: Bed;
  readonly onChange: (next: Bed) => void;
}) {
  const blocked = bed.blocked ?? [];
  const keep = (next: readonly Blocked[]): void => onChange({ ...bed, blocked: [...next] });
  const corner = (most: number): number => Math.min(firstCorner, most);
  const addPath = (): void => {
    const height = Math.min(firstPath, bed.height);
    const y = Math.round(((bed.height - height) / 2) * 100) / 100;
    keep([...blocked, { x: 0, y, width: bed.width, height, why: 'path' }]);
  };
  const addCorner = (): void =>
    keep([
      ...blocked,
      { x: 0, y: 0, width: corner(bed.width), height: corner(bed.height), why: 'unusable' },
    ]);
  const seen = { path: 0, unusable: 0 };
  return (
    <>
      {blocked.map((part, i) => {
        seen[part.why] += 1;
        const name = `${blockedWords[part.why]} ${seen[part.why]} in ${bed.name}`;
        return (
          <BlockedFields
            key={i}
            part={part}
            name={name}
            onChange={(next) => keep(blocked.map((one, k) => (k === i ? next : one)))}
            onRemove={() => keep(blocked.filter((_, k) => k !== i))}
          />
        );
      })}
      <div className="buttons">
        <button type="button" className="button quiet" onClick={addPath}>
          Add a path in {bed.name}
        </button>
        <button type="button" className="button quiet" onClick={addCorner}>
          Add an unusable corner in {bed.name}
        </button>
      </div>
    </>
  );
}

/** One bed: its sides, where it lies, and what of it no plot may lie on. */
export function BedCard(props: {
  readonly bed: Bed;
  readonly only: boolean;
  readonly onChange: (next: Bed) => void;
  readonly onRemove: () => void;
}) {
  const { bed, only, onChange, onRemove } = props;
  const field = (key: 'x' | 'y' | 'width' | 'height', label: string) => (
    <NumberField
      label={label}
      name={`${bed.name}: ${label.toLowerCase()}`}
      value={bed[key] ?? 0}
      {...(key === 'x' || key === 'y' ? place : size)}
      onSave={(value) => value !== undefined && onChange({ ...bed, [key]: value })}
    />
  );
  return (
    <li className="plan-card">
      <div className="plan-row plan-figures">
        <TextField
          label="Name of the bed"
          value={bed.name}
          onSave={(text) => {
            if (text.trim() === '') return 'A bed needs a name.';
            onChange({ ...bed, name: text.trim() });
            return undefined;
          }}
        />
        {field('width', 'West to east')}
        {field('height', 'South to north')}
        {!only && field('x', 'West edge lies at')}
        {!only && field('y', 'South edge lies at')}
      </div>
      <BlockedParts bed={bed} onChange={onChange} />
      <button type="button" className="button quiet" onClick={onRemove}>
        Remove {bed.name}
      </button>
    </li>
  );
}
