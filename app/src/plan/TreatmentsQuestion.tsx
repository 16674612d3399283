import { TreatmentIcon, treatmentStyles } from '@fairbed/report';
import type { Treatment } from '@fairbed/trial';
import { useAnnounce } from '../Announcer';
import { Question } from './Question';
import { TreatmentCard } from './TreatmentCard';
import { freeName, treatmentKinds } from './treatmentKinds';
import type { Plan } from './usePlan';
import { nextId, type TreatmentKind } from './values';

function LabelFirst() {
  return (
    <div className="plan-caution" role="note">
      <h3>The label and the law come first</h3>
      <p>
        Use a product only where its label allows this crop and this disease, at the label’s rate,
        number of sprays and waiting times. That a trial plans a use does not allow it. What was
        treated outside the label must not be eaten.
      </p>
    </div>
  );
}

function AddTreatment({ plan }: { readonly plan: Plan }) {
  const announce = useAnnounce();
  const { treatments = [], control } = plan.values;
  const names = treatments.map(({ name }) => name);
  const add = (kind: TreatmentKind, firstName: string): void => {
    const id = nextId('t', plan.everIds('treatments'));
    const added: Treatment = { id, name: freeName(firstName, names), kind };
    const isFirstUntreated = kind === 'untreated' && control === undefined;
    plan.set({
      treatments: [...treatments, added],
      ...(isFirstUntreated ? { control: id } : {}),
    });
    announce(`${added.name} added.`);
  };
  const hasUntreated = treatments.some(({ kind }) => kind === 'untreated');
  return (
    <div>
      <h3 id="add-treatment">Add a treatment</h3>
      <div className="buttons plan-adds" role="group" aria-labelledby="add-treatment">
        {treatmentKinds
          .filter(({ id }) => id !== 'untreated' || !hasUntreated)
          .map(({ id, title, firstName }) => (
            <button
              key={id}
              type="button"
              className="button quiet"
              onClick={() => add(id, firstName)}
            >
              {title}
            </button>
          ))}
      </div>
    </div>
  );
}

/** 3: the treatments, which of them the others are compared with, and how each is drawn. */
export function TreatmentsQuestion({ plan }: { readonly plan: Plan }) {
  const announce = useAnnounce();
  const { treatments = [], control } = plan.values;
  const names = treatments.map(({ name }) => name);
  const controlName = treatments.find(({ id }) => id === control)?.name ?? null;
  const styles = treatmentStyles(names, controlName);
  const remove = ({ id, name }: Treatment): void => {
    plan.set({
      treatments: treatments.filter((one) => one.id !== id),
      ...(control === id ? { control: null } : {}),
    });
    announce(`${name} removed. Undo brings it back.`);
  };
  return (
    <Question
      number={3}
      title="What do you compare?"
      plan={plan}
      fields={['treatments', 'control']}
      answered={treatments.length > 1 && controlName !== null}
    >
      <ul className="plan-cards" aria-label="Treatments">
        {treatments.map((treatment) => {
          const style = styles.get(treatment.name);
          return (
            <TreatmentCard
              key={treatment.id}
              treatment={treatment}
              mark={style && <TreatmentIcon treatment={style} size={24} />}
              others={names.filter((name) => name !== treatment.name)}
              isControl={treatment.id === control}
              onChange={(next) =>
                plan.set({
                  treatments: treatments.map((one) => (one.id === next.id ? next : one)),
                })
              }
              onControl={() => plan.set({ control: treatment.id })}
              onRemove={() => remove(treatment)}
            />
          );
        })}
      </ul>
      {treatments.length > 0 && controlName === null && (
        <p className="plan-fault">
          No treatment is named to compare the others with. Add an untreated control, or choose one.
        </p>
      )}
      <AddTreatment plan={plan} />
      {treatments.some(({ kind }) => kind === 'product') && <LabelFirst />}
    </Question>
  );
}
