import { ChoiceQuestion } from '../sheet/ChoiceQuestion';
import { NumberField, TextField } from './Field';
import type { Plan } from './usePlan';
import type { Differs } from './values';

const choices: readonly { readonly id: Differs['way']; readonly label: string }[] = [
  { id: 'none', label: 'Nothing that I know of' },
  { id: 'east', label: 'It changes from west to east' },
  { id: 'north', label: 'It changes from south to north' },
  { id: 'baseline', label: "Last week's disease" },
];

/** One figure a plot, scored before anything is treated. */
function BaselineScores({ plan }: { readonly plan: Plan }) {
  const { places, more } = plan;
  if (places.state !== 'fit' && more.baseline.length === 0) {
    return <p className="soft">Once the plots fit into the beds, each can be given its score.</p>;
  }
  const count = places.state === 'fit' ? places.cells.length : more.baseline.length;
  const keep = (i: number, value: number | undefined): void =>
    plan.set({
      baseline: Array.from({ length: count }, (_, k) =>
        k === i ? (value ?? null) : (more.baseline[k] ?? null),
      ),
    });
  return (
    <fieldset className="plan-part">
      <legend>Disease in each plot before anything is treated</legend>
      <p className="soft small">
        Any one figure, the same kind for all: diseased leaves, or percent. Plots alike in it become
        a block. The numbers are those in the drawing.
      </p>
      <div className="plan-scores">
        {Array.from({ length: count }, (_, i) => (
          <NumberField
            key={i}
            label={`Plot ${i + 1}`}
            value={more.baseline[i] ?? undefined}
            least={0}
            most={1_000_000}
            optional
            onSave={(value) => keep(i, value)}
          />
        ))}
      </div>
    </fieldset>
  );
}

/** What differs along the beds; blocks are laid along it, or made of plots alike in disease. */
export function BaselineFields({ plan }: { readonly plan: Plan }) {
  const { differs } = plan.more;
  const isAlong = differs?.way === 'east' || differs?.way === 'north';
  return (
    <>
      <ChoiceQuestion
        question="Does something differ along the beds?"
        why="Shade, damp, slope, a hedge, where the disease was last week. Each block is laid where the ground is alike, so that the difference falls between blocks and not between treatments."
        choices={choices}
        answer={differs?.way}
        onAnswer={(way) => plan.set({ differs: { ...differs, way: way as Differs['way'] } })}
      />
      {isAlong && (
        <TextField
          label="What is it?"
          value={differs.what ?? ''}
          list={['Shade', 'Damp', 'Slope', 'Wind', 'Distance from the hedge']}
          onSave={(text) => {
            const what = text.trim();
            plan.set({ differs: { way: differs.way, ...(what === '' ? {} : { what }) } });
            return undefined;
          }}
        />
      )}
      {differs?.way === 'baseline' && <BaselineScores plan={plan} />}
    </>
  );
}
