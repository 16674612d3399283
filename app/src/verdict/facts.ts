import type { Trial } from '@fairbed/trial';
import { without } from '../writable';

/** What a sheet can't say of how a trial was laid out and scored. Absent: nobody said. */
export type Facts = {
  /** True: drawn by lot. False: the places were chosen. */
  readonly randomised?: boolean;
  /** True: whoever scored did not know which plot had which treatment. */
  readonly blind?: boolean;
};

/** What the trial itself says. */
export const factsOf = ({ design, plan }: Pick<Trial, 'design' | 'plan'>): Facts => ({
  ...(design.randomised === undefined ? {} : { randomised: design.randomised }),
  ...(plan?.blind === undefined ? {} : { blind: plan.blind }),
});

/** The trial with these facts in place of its own; nothing else of it changes. */
export function withFacts(trial: Trial, { randomised, blind }: Facts): Trial {
  const design = without(trial.design, 'randomised');
  const plan = without(trial.plan ?? {}, 'blind');
  const planned = blind === undefined ? plan : { ...plan, blind };
  const bare = { ...without(trial, 'plan'), design };
  return {
    ...bare,
    design: randomised === undefined ? design : { ...design, randomised },
    ...(Object.keys(planned).length > 0 ? { plan: planned } : {}),
  };
}

/** Name of the treatment that the trial itself calls its control; undefined where it names none. */
export function namedControl({
  control,
  treatments,
}: Pick<Trial, 'control' | 'treatments'>): string | undefined {
  const named = treatments.find(({ id, kind }) =>
    control === undefined ? kind === 'untreated' : id === control,
  );
  return named?.name;
}
