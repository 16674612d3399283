import { useState } from 'react';

/** Begins a new plan. Its code is read when it is pressed. */
export function PlanButton({ label = 'Plan a trial' }: { readonly label?: string }) {
  const [fault, setFault] = useState<string>();
  const start = (): void => {
    import('./startPlan')
      .then(({ startPlan }) => startPlan())
      .catch((wrong: unknown) => setFault(wrong instanceof Error ? wrong.message : String(wrong)));
  };
  return (
    <>
      <button type="button" className="button" onClick={start}>
        {label}
      </button>
      {fault !== undefined && (
        <p className="fault" role="alert">
          A plan could not be begun: {fault}
        </p>
      )}
    </>
  );
}
