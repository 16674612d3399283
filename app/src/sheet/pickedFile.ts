import { useSyncExternalStore } from 'react';
import { sheetHref } from '../route';
import { goTo } from '../useRoute';

/** A file the grower chose. `turn` tells the same file chosen twice apart. */
export type PickedFile = { readonly file: File; readonly turn: number };

let picked: PickedFile | undefined;
const listeners = new Set<() => void>();

/** Takes a dropped or chosen file to the sheet screen. It is read on this device only. */
export function takeFile(file: File): void {
  picked = { file, turn: (picked?.turn ?? 0) + 1 };
  for (const tell of listeners) tell();
  goTo(sheetHref);
}

const subscribe = (tell: () => void): (() => void) => {
  listeners.add(tell);
  return () => {
    listeners.delete(tell);
  };
};

/** The file chosen last; undefined after a reload, when it has to be chosen again. */
export const usePickedFile = (): PickedFile | undefined =>
  useSyncExternalStore(subscribe, () => picked);
