import { type ReactNode, useState } from 'react';

/** Something noted less often: drawn once it is wanted, so that the next plant comes up at once. */
export function Folded(props: { readonly summary: string; readonly children: ReactNode }) {
  const [open, setOpen] = useState(false);
  return (
    <details className="plant-more" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{props.summary}</summary>
      {open && props.children}
    </details>
  );
}
