import { untitled } from '../book/bookCards';
import { cropNamed, crops, diseaseNamed, diseasesFor } from './crops';
import { TextField } from './Field';
import { without } from '../writable';
import { Question } from './Question';
import type { Plan } from './usePlan';
import { nextId } from './values';

/** 1: the question, and what the trial is called. */
export function WhatQuestion({ plan }: { readonly plan: Plan }) {
  const { question = '', title = '', garden } = plan.values;
  return (
    <Question
      number={1}
      title="What do you want to know?"
      plan={plan}
      fields={['question', 'title', 'garden']}
      answered={question !== ''}
    >
      <TextField
        label="The question, as you would ask a neighbour"
        value={question}
        long
        hint="For example: does skim milk keep white rust off the pak choi as well as copper does?"
        onSave={(text) => {
          plan.set({ question: text.trim() === '' ? null : text.trim() });
          return undefined;
        }}
      />
      <div className="plan-row">
        <TextField
          label="A short name for the trial"
          value={title === untitled ? '' : title}
          hint="It stands on the stakes, where the scorer sees it: name no treatment."
          onSave={(text) => {
            plan.set({ title: text.trim() === '' ? untitled : text.trim() });
            return undefined;
          }}
        />
        <TextField
          label="Garden"
          value={garden?.name ?? ''}
          hint="Optional."
          onSave={(text) => {
            plan.set({ garden: text.trim() === '' ? null : { ...garden, name: text.trim() } });
            return undefined;
          }}
        />
      </div>
    </Question>
  );
}

type Disease = NonNullable<Plan['values']['diseases']>[number];

function DiseaseFields(props: {
  readonly plan: Plan;
  readonly disease: Disease | undefined;
  readonly label: string;
  readonly onRemove?: () => void;
}) {
  const { plan, disease, label, onRemove } = props;
  const { diseases = [], crop } = plan.values;
  const known = diseasesFor(crop?.name ?? '');
  const keep = (next: Disease): void => {
    const others = diseases.some(({ id }) => id === next.id)
      ? diseases.map((one) => (one.id === next.id ? next : one))
      : [...diseases, next];
    plan.set({ diseases: others });
  };
  const nameIt = (text: string): string | undefined => {
    const name = text.trim();
    if (name === '') return disease === undefined ? undefined : 'The disease needs a name.';
    const scientificName =
      diseaseNamed(crop?.name ?? '', name)?.scientificName ?? disease?.scientificName;
    const id =
      disease?.id ??
      nextId(
        'd',
        diseases.map((one) => one.id),
      );
    keep({ id, name, ...(scientificName === undefined ? {} : { scientificName }) });
    return undefined;
  };
  return (
    <div className="plan-row">
      <TextField
        label={label}
        value={disease?.name ?? ''}
        list={known.map(({ name }) => name)}
        onSave={nameIt}
      />
      {disease !== undefined && (
        <TextField
          label="Scientific name"
          lang="la"
          value={disease.scientificName ?? ''}
          onSave={(text) => {
            const rest = without(disease, 'scientificName');
            keep(text.trim() === '' ? rest : { ...rest, scientificName: text.trim() });
            return undefined;
          }}
        />
      )}
      {onRemove !== undefined && (
        <button type="button" className="button quiet plan-end" onClick={onRemove}>
          Remove {disease?.name}
        </button>
      )}
    </div>
  );
}

function CropFields({ plan }: { readonly plan: Plan }) {
  const { crop } = plan.values;
  const nameIt = (text: string): undefined => {
    const name = text.trim();
    const scientificName = cropNamed(name)?.scientificName ?? crop?.scientificName;
    const named = { name, ...(scientificName === undefined ? {} : { scientificName }) };
    plan.set({ crop: name === '' ? null : named });
  };
  return (
    <div className="plan-row">
      <TextField
        label="Crop"
        value={crop?.name ?? ''}
        list={crops.map(({ name }) => name)}
        onSave={nameIt}
      />
      {crop !== undefined && (
        <TextField
          label="Scientific name of the crop"
          lang="la"
          value={crop.scientificName ?? ''}
          onSave={(text) => {
            const scientificName = text.trim();
            plan.set({
              crop: { name: crop.name, ...(scientificName === '' ? {} : { scientificName }) },
            });
            return undefined;
          }}
        />
      )}
    </div>
  );
}

/** 2: the crop, the disease the trial is about, and others scored on the same leaves. */
export function CropQuestion({ plan }: { readonly plan: Plan }) {
  const { crop, diseases = [] } = plan.values;
  const [target, ...others] = diseases;
  const remove = (id: string) => (): void =>
    plan.set({ diseases: diseases.filter((one) => one.id !== id) });
  return (
    <Question
      number={2}
      title="Which crop, and which disease?"
      plan={plan}
      fields={['crop', 'diseases']}
      answered={crop !== undefined && target !== undefined}
    >
      <p className="soft small">Choose from the list or write any other name.</p>
      <CropFields plan={plan} />
      <DiseaseFields plan={plan} disease={target} label="Disease" />
      {others.map((disease) => (
        <DiseaseFields
          key={disease.id}
          plan={plan}
          disease={disease}
          label="Also scored"
          onRemove={remove(disease.id)}
        />
      ))}
      {target !== undefined && (
        <DiseaseFields
          key={`more${others.length}`}
          plan={plan}
          disease={undefined}
          label="Another disease scored on the same leaves"
        />
      )}
    </Question>
  );
}
