/** One thing to choose, under its label. */
export function Choice(props: {
  readonly id: string;
  readonly label: string;
  readonly value: string;
  readonly options: readonly { readonly id: string; readonly title: string }[];
  readonly onChange: (id: string) => void;
}) {
  const { id, label, value, options, onChange } = props;
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onChange(event.target.value)}>
        {options.map((option) => (
          <option key={option.id} value={option.id}>
            {option.title}
          </option>
        ))}
      </select>
    </div>
  );
}
