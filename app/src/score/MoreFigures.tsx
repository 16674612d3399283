import { useId } from 'react';
import { Choice } from '../verdict/Choice';
import { Percent } from './Percent';
import { stages } from './stages';
import type { Drafts } from './useDrafts';

function Stage({ drafts }: { readonly drafts: Drafts }) {
  const stage = drafts.number({ field: 'stage' });
  const value = stage === undefined ? '' : String(stage);
  const listed = stages.some(({ id }) => id === value);
  return (
    <Choice
      id="stage"
      label="Growth stage (BBCH)"
      value={value}
      options={listed ? stages : [...stages, { id: value, title: value }]}
      onChange={(id) => drafts.set({ field: 'stage' }, id === '' ? null : Number(id))}
    />
  );
}

function Note({ drafts }: { readonly drafts: Drafts }) {
  const id = useId();
  const text = drafts.value({ field: 'note' });
  return (
    <div className="field">
      <label htmlFor={id}>Note (speak it with your keyboard’s microphone)</label>
      <textarea
        id={id}
        rows={3}
        maxLength={10_000}
        value={typeof text === 'string' ? text : ''}
        onChange={(event) =>
          drafts.set({ field: 'note' }, event.target.value === '' ? null : event.target.value)
        }
        onBlur={() => void drafts.flush()}
      />
    </div>
  );
}

/** What is noted less often: injury, vigour, growth stage, a note. */
export function MoreFigures({ drafts }: { readonly drafts: Drafts }) {
  return (
    <div className="stack">
      <Percent
        label="Injury by the treatment"
        hint="Scorch, spots or curling that the disease does not make; 0 is none."
        choices={[0, 5, 10, 25, 50]}
        value={drafts.number({ field: 'injury' })}
        onChange={(n) => drafts.set({ field: 'injury' }, n ?? null)}
      />
      <Percent
        label="Vigour"
        hint="Beside the best plant of the day, which is 100."
        choices={[40, 60, 80, 90, 100]}
        value={drafts.number({ field: 'vigour' })}
        onChange={(n) => drafts.set({ field: 'vigour' }, n ?? null)}
      />
      <Stage drafts={drafts} />
      <Note drafts={drafts} />
    </div>
  );
}
