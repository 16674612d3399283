import type { Json } from '@fairbed/notebook';
import type { LossCause } from '@fairbed/trial';
import { useState } from 'react';
import { Choice } from '../verdict/Choice';
import type { Drafts } from './useDrafts';
import { Figure } from './Figure';

type Loss = { readonly leaves: number; readonly why: LossCause };

const causes: readonly { readonly id: LossCause; readonly title: string }[] = [
  { id: 'unknown', title: 'Not known' },
  { id: 'storm', title: 'Storm or hail' },
  { id: 'pest', title: 'Slugs, caterpillars, birds' },
  { id: 'other-disease', title: 'Another disease' },
  { id: 'age', title: 'Old age' },
  { id: 'harvest', title: 'Harvested' },
  { id: 'accident', title: 'Accident' },
];

const isList = (value: Json | undefined): value is readonly Json[] => Array.isArray(value);

/** The book holds nothing else under this name: its kind checks every value. */
const lossesOf = (value: Json | undefined): readonly Loss[] =>
  isList(value) ? (value as unknown as readonly Loss[]) : [];

/** Leaves gone since the last round that nobody stripped, each with its cause. */
export function LostLeaves({ drafts }: { readonly drafts: Drafts }) {
  const losses = lossesOf(drafts.value({ field: 'lost' }));
  const [why, setWhy] = useState<LossCause>(losses[0]?.why ?? 'unknown');
  const here = losses.find((loss) => loss.why === why)?.leaves;
  const set = (leaves: number | undefined): void => {
    const others = losses.filter((loss) => loss.why !== why);
    const next = leaves === undefined ? others : [...others, { leaves, why }];
    drafts.set({ field: 'lost' }, next.length === 0 ? null : next);
  };
  const others = losses.filter((loss) => loss.why !== why && loss.leaves > 0);
  return (
    <div className="stack">
      <Choice
        id="lost-why"
        label="Leaves lost since last time, not stripped: to what?"
        value={why}
        options={causes}
        onChange={(id) => setWhy(causes.find((cause) => cause.id === id)?.id ?? 'unknown')}
      />
      <Figure
        label="Lost leaves"
        unit="leaves"
        value={here}
        near={0}
        hint={
          others.length === 0
            ? undefined
            : `Besides: ${others
                .map(
                  (loss) =>
                    `${loss.leaves} to ${causes.find(({ id }) => id === loss.why)?.title.toLowerCase() ?? loss.why}`,
                )
                .join(', ')}.`
        }
        onChange={set}
      />
    </div>
  );
}
