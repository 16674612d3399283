import { useId } from 'react';
import { ChoiceQuestion } from '../sheet/ChoiceQuestion';
import { Choice } from '../verdict/Choice';
import { counted } from '../verdict/numbers';
import { adviceFor, designs, designWords } from './advice';
import { FactsPanel } from './FactsPanel';
import { NumberField, TextField } from './Field';
import { usualBlocks } from './layout';
import { Question } from './Question';
import type { Plan } from './usePlan';
import { nextId } from './values';

type Design = NonNullable<Plan['values']['design']>;
type WholePlot = NonNullable<Design['wholePlots']>[number];

function Recommended({ plan }: { readonly plan: Plan }) {
  const { request, values } = plan;
  const advice = adviceFor(request);
  if (advice === undefined) return null;
  const isTaken = request.kind === advice.kind && request.blocks === advice.blocks;
  return (
    <div className="plan-advice" data-testid="advice">
      <p>
        <strong>Recommended: {advice.blocks} blocks.</strong> {advice.why}
      </p>
      {isTaken ? (
        <p className="soft">That is how it is planned.</p>
      ) : (
        <button
          type="button"
          className="button quiet"
          onClick={() =>
            plan.set({ design: { ...values.design, kind: advice.kind, blocks: advice.blocks } })
          }
        >
          Plan it so
        </button>
      )}
    </div>
  );
}

/** Split plot: which treatments go together on one stretch. */
function WholePlots({ plan, design }: { readonly plan: Plan; readonly design: Design }) {
  const { treatments = [] } = plan.values;
  const groups = design.wholePlots ?? [];
  const id = useId();
  const keep = (next: readonly WholePlot[]): void =>
    plan.set({ design: { ...design, wholePlots: [...next] } });
  const put = (treatment: string, group: string): void =>
    keep(
      groups.map((one) => ({
        id: one.id,
        treatments: [
          ...one.treatments.filter((other) => other !== treatment),
          ...(one.id === group ? [treatment] : []),
        ],
      })),
    );
  const rename =
    (group: WholePlot) =>
    (text: string): string | undefined => {
      const name = text.trim();
      if (name === '') return 'A stretch needs a name, such as what is done on it.';
      if (groups.some((one) => one.id === name && one !== group))
        return `There is a “${name}” already.`;
      keep(groups.map((one) => (one === group ? { ...one, id: name } : one)));
      return undefined;
    };
  const add = (): void => {
    const name = nextId(
      'Practice ',
      groups.map((one) => one.id),
    );
    keep([...groups, { id: name, treatments: [] }]);
  };
  return (
    <fieldset className="plan-part">
      <legend>What is done on whole stretches</legend>
      <div className="plan-row">
        {groups.map((group, i) => (
          <TextField key={i} label={`Stretch ${i + 1}`} value={group.id} onSave={rename(group)} />
        ))}
        <button type="button" className="button quiet plan-end" onClick={add}>
          Add a stretch
        </button>
      </div>
      {groups.length > 0 &&
        treatments.map((treatment) => (
          <Choice
            key={treatment.id}
            id={`${id}-${treatment.id}`}
            label={`${treatment.name} is on`}
            value={groups.find((group) => group.treatments.includes(treatment.id))?.id ?? ''}
            options={[
              { id: '', title: 'Not said yet' },
              ...groups.map((group) => ({ id: group.id, title: group.id })),
            ]}
            onChange={(group) => put(treatment.id, group)}
          />
        ))}
    </fieldset>
  );
}

const controlled: ReadonlySet<string> = new Set([
  'randomised-blocks',
  'completely-randomised',
  'incomplete-blocks',
]);

function DesignFigures({ plan, design }: { readonly plan: Plan; readonly design: Design }) {
  const { request } = plan;
  const isPlain = request.kind === 'completely-randomised';
  return (
    <div className="plan-row plan-figures">
      {request.kind === 'latin-square' ? (
        <p>
          {counted(request.blocks, 'row')} and {counted(request.blocks, 'column')}: one for each
          treatment.
        </p>
      ) : (
        <NumberField
          label={isPlain ? 'Plots of each treatment' : 'Blocks'}
          value={design.blocks ?? usualBlocks}
          least={1}
          most={60}
          whole
          onSave={(blocks) => blocks !== undefined && plan.set({ design: { ...design, blocks } })}
        />
      )}
      {request.kind === 'incomplete-blocks' && (
        <NumberField
          label="Plots a block holds"
          value={design.perBlock}
          least={2}
          most={60}
          whole
          onSave={(perBlock) =>
            perBlock !== undefined && plan.set({ design: { ...design, perBlock } })
          }
        />
      )}
      {request.control !== undefined && controlled.has(request.kind) && (
        <NumberField
          label={
            isPlain
              ? 'Plots of the control for each of another'
              : 'Plots of the control in each block'
          }
          hint="More than one makes every comparison with it surer."
          value={design.controlPlots ?? 1}
          least={1}
          most={10}
          whole
          onSave={(controlPlots) =>
            controlPlots !== undefined && plan.set({ design: { ...design, controlPlots } })
          }
        />
      )}
    </div>
  );
}

/** 5: the design in plain words, and at once what it can and can't show. */
export function DesignQuestion({ plan, wide }: { readonly plan: Plan; readonly wide: boolean }) {
  const { request, values } = plan;
  const design: Design = values.design ?? { kind: 'randomised-blocks', blocks: usualBlocks };
  return (
    <Question
      number={5}
      title="How is it laid out?"
      plan={plan}
      fields={['design']}
      answered={plan.facts.ok}
    >
      <Recommended plan={plan} />
      <ChoiceQuestion
        question="The design"
        choices={designs.map(({ id, title }) => ({ id, label: title }))}
        answer={request.kind}
        onAnswer={(kind) => plan.set({ design: { ...design, kind: kind as Design['kind'] } })}
      />
      <p>{designWords(request.kind)?.plain}</p>
      <DesignFigures plan={plan} design={design} />
      {request.kind === 'split-plot' && <WholePlots plan={plan} design={design} />}
      {!wide && <FactsPanel plan={plan} />}
    </Question>
  );
}
