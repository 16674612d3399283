import { Percent } from './Percent';

type Disease = { readonly id: string; readonly name: string };

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
          <Percent
            key={id}
            label={`Leaf area with ${name.toLowerCase()}`}
            hint="Mean over all leaves of the plant, healthy ones too."
            choices={[0, 1, 5, 20, 50]}
            value={value(disease)}
            onChange={(n) => onChange(n, disease)}
          />
        );
      })}
    </div>
  );
}
