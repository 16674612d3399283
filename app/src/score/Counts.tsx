import { checkPlant, type PlantBefore } from '@fairbed/trial';
import { Figure } from './Figure';
import type { Drafts } from './useDrafts';

type Disease = { readonly id: string; readonly name: string };

export type CountsProps = {
  readonly drafts: Drafts;
  readonly before: PlantBefore | undefined;
  /** Standing leaves of the plant before in the walk, where this one was never counted. */
  readonly neighbour: number | undefined;
  readonly diseases: readonly Disease[];
  /** The plan strips every diseased leaf at this round. */
  readonly strips: boolean;
};

const leaves = (n: number): string => `${n} ${n === 1 ? 'leaf' : 'leaves'}`;

function standingHint({ before, neighbour }: CountsProps): string {
  if (before?.left !== undefined) return `${leaves(before.left)} left last time`;
  return neighbour === undefined
    ? 'Count every leaf that stands'
    : `${neighbour} on the last plant`;
}

/** The leaf balance asks back while the figures are typed. */
function Questions({ drafts, before }: Pick<CountsProps, 'drafts' | 'before'>) {
  const lost = drafts.value({ field: 'lost' });
  const numbers = {
    standing: drafts.number({ field: 'standing' }),
    diseased: drafts.number({ field: 'diseased' }),
    stripped: drafts.number({ field: 'stripped' }),
    ...(Array.isArray(lost) ? { lost: lost as never } : {}),
  };
  const problems = checkPlant(
    Object.fromEntries(Object.entries(numbers).filter(([, n]) => n !== undefined)),
    before,
  );
  return (
    <div className="balance" role="status">
      {problems.map(({ kind, code, what, do: remedy }) => (
        <p key={code} className={kind === 'note' ? 'soft' : 'caution-note'}>
          {what} {remedy}
        </p>
      ))}
    </div>
  );
}

/** Standing, diseased and stripped leaves of one plant; of each disease where there are several. */
export function Counts(props: CountsProps) {
  const { drafts, before, neighbour, diseases, strips } = props;
  const [target, ...others] = diseases;
  const last = before?.score;
  const setDiseased = (n: number | undefined): void => {
    const was = drafts.number({ field: 'diseased' });
    const stripped = drafts.number({ field: 'stripped' });
    // The plan strips what is diseased: one number says both, until the scorer says otherwise.
    const both = strips && (stripped === undefined || stripped === was);
    const fields = both ? (['diseased', 'stripped'] as const) : (['diseased'] as const);
    drafts.setAll(fields.map((field) => ({ place: { field }, value: n ?? null })));
  };
  return (
    <>
      <Figure
        label="Standing leaves"
        unit="leaves"
        value={drafts.number({ field: 'standing' })}
        near={before?.left ?? Math.max(0, (neighbour ?? 5) - 1)}
        hint={standingHint(props)}
        onChange={(n) => drafts.set({ field: 'standing' }, n ?? null)}
      />
      <Figure
        label={others.length === 0 ? 'Diseased leaves' : `With ${target?.name.toLowerCase() ?? ''}`}
        unit="leaves"
        value={drafts.number({ field: 'diseased' })}
        near={0}
        hint={last?.diseased === undefined ? 'Of those standing' : `${last.diseased} last time`}
        onChange={setDiseased}
      />
      {others.map(({ id, name }) => (
        <Figure
          key={id}
          label={`With ${name.toLowerCase()}`}
          unit="leaves"
          value={drafts.number({ field: 'diseased', disease: id })}
          near={0}
          hint="A leaf with both counts in both"
          onChange={(n) => drafts.set({ field: 'diseased', disease: id }, n ?? null)}
        />
      ))}
      <Figure
        label="Stripped leaves"
        unit="leaves"
        value={drafts.number({ field: 'stripped' })}
        near={0}
        hint={
          strips
            ? 'The plan strips every diseased leaf: fills itself in'
            : 'Taken off now, after counting'
        }
        onChange={(n) => drafts.set({ field: 'stripped' }, n ?? null)}
      />
      <Questions drafts={drafts} before={before} />
    </>
  );
}
