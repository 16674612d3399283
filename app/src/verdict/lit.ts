import type { Pick } from '@fairbed/report';
import { createContext, useContext } from 'react';

export type Lighting = {
  readonly lit: Pick | undefined;
  readonly pick: (pick: Pick | undefined) => void;
  /** Treatment of each plot, so that a plot lights its treatment's rows and marks. */
  readonly treatmentOf: ReadonlyMap<string, string>;
};

/** What is picked on the page. Every chart, table and the bed read it and may change it. */
export const LitContext = createContext<Lighting>({
  lit: undefined,
  pick: () => undefined,
  treatmentOf: new Map(),
});

export const useLit = (): Lighting => useContext(LitContext);

/** The treatment that is lit: the one picked, or the one of the plot picked. */
export const litTreatment = ({ lit, treatmentOf }: Lighting): string | undefined =>
  lit?.treatment ?? (lit?.plot === undefined ? undefined : treatmentOf.get(lit.plot));

/** Picking what is lit already puts the light out. */
export const toggled = (lit: Pick | undefined, next: Pick): Pick | undefined =>
  lit?.treatment === next.treatment && lit?.plot === next.plot ? undefined : next;
