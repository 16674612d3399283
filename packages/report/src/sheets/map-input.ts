import type { Treatment } from '@fairbed/trial';
import type { SheetBed } from './ground';
import type { SheetHead, SheetPlot } from './sheet';

export type ScorerMapInput = SheetHead & {
  readonly beds: readonly SheetBed[];
  /** In walking order. */
  readonly plots: readonly SheetPlot[];
  /** Names that must not be on this map: a title or garden with one of them is left out. */
  readonly treatments?: readonly string[] | undefined;
};

export type SprayerMapInput = SheetHead & {
  readonly beds: readonly SheetBed[];
  /** In walking order; `treatment` is the id of one of `treatments`. */
  readonly plots: readonly (SheetPlot & { readonly treatment: string })[];
  readonly treatments: readonly Treatment[];
  /** Id of the treatment others are compared with. */
  readonly control?: string | undefined;
};
