import { TreatmentIcon, type TreatmentStyles, treatmentStyles } from '@fairbed/report';
import type { Trial } from '@fairbed/trial';
import { type ReactNode, useMemo } from 'react';
import { namedControl } from './facts';

export type Looks = {
  readonly styles: TreatmentStyles;
  readonly markOf: (treatment: string) => ReactNode;
};

/** Order and looks of the treatments: one for the whole page, whatever they are compared with. */
export const useLooks = (trial: Trial): Looks =>
  useMemo(() => {
    // Only the trial's own control is drawn as one: another that was chosen to compare with was
    // treated like the rest.
    const styles = treatmentStyles(
      trial.treatments.map(({ name }) => name),
      namedControl(trial) ?? null,
    );
    const markOf = (name: string): ReactNode => {
      const treatment = styles.get(name);
      return treatment ? <TreatmentIcon treatment={treatment} /> : null;
    };
    return { styles, markOf };
  }, [trial]);
