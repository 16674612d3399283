import type { StorageHealth } from '../book/health';
import type { TakenIn } from '../book/exchange';
import { dayOfMs } from '../now/nowOf';
import { longDay } from '../plan/today';
import { counted } from '../verdict/numbers';

/** A number of bytes as devices tell it: `640 kB`, `3.4 MB`, `1.2 GB`. */
export function sizeText(bytes: number): string {
  const units = ['kB', 'MB', 'GB', 'TB'] as const;
  let size = bytes / 1000;
  let unit = 0;
  while (size >= 999.5 && unit < units.length - 1) {
    size /= 1000;
    unit++;
  }
  const shown = size >= 10 || unit === 0 ? Math.max(1, Math.round(size)) : Number(size.toFixed(1));
  return `${shown} ${units[unit] ?? ''}`;
}

const entries = (n: number): string => counted(n, 'entry', 'entries');

/** How safe a trial is: when it was last saved as a file, and what was written since. */
export function safetyWords({ lastBackup, entriesSinceBackup }: StorageHealth): string {
  const since = entries(entriesSinceBackup);
  const are = entriesSinceBackup === 1 ? 'is' : 'are';
  if (lastBackup === undefined) {
    return `No back-up was ever saved. ${since} ${are} on this device alone.`;
  }
  const day = dayOfMs(lastBackup);
  const last = `The last back-up is of ${day === undefined ? 'an unknown day' : longDay(day)}.`;
  return entriesSinceBackup === 0
    ? `${last} Nothing was written since.`
    : `${last} ${since} ${entriesSinceBackup === 1 ? 'was' : 'were'} written since.`;
}

/** What the browser says about keeping it, and what that means. */
export function keepingWords({ persisted }: StorageHealth): string {
  if (persisted === undefined)
    return 'The browser does not say how safely it keeps this page’s data.';
  return persisted
    ? 'The browser has promised not to clear it by itself. Clearing the browser’s data by hand still does.'
    : 'The browser may clear it when the device runs short of space, or when this page is not opened for weeks. A back-up as a file is safe from that.';
}

/** That the browser had lost its database, and what was put back. */
export function broughtBackWords(back: { readonly at: number; readonly entries: number }): string {
  const day = dayOfMs(back.at);
  return `The browser had thrown its own database away${day === undefined ? '' : ` by ${longDay(day)}`}. ${entries(back.entries)} ${back.entries === 1 ? 'was' : 'were'} put back from the second copy. Look whether all is there, and save a back-up.`;
}

/** Room in use and to be had; undefined where the browser does not say. */
export function roomWords({ usage, quota }: StorageHealth): string | undefined {
  if (usage === undefined || quota === undefined) return undefined;
  return `${sizeText(usage)} in use by Fairbed, ${sizeText(Math.max(0, quota - usage))} free for it.`;
}

/** What came of a file that was brought in; the reasons of a refusal are told beside it. */
export function takenWords(taken: TakenIn, file: string): string {
  switch (taken.kind) {
    case 'refused':
      return `${file} was refused. Nothing was changed.`;
    case 'trial':
      return `${file} holds a trial without a ledger.`;
    case 'new':
    case 'merged':
      return mergedWords(taken, file);
  }
}

function mergedWords(taken: TakenIn & { readonly kind: 'new' | 'merged' }, file: string): string {
  const { kind, fresh, photos, clashes } = taken;
  const pictures = photos === 0 ? '' : `, ${counted(photos, 'photo')} with it`;
  const what =
    kind === 'new'
      ? `${file} is a trial new to this device: ${entries(fresh)}${pictures}.`
      : fresh === 0
        ? `${file} held nothing new${pictures}. All its entries are here already.`
        : `${file} brought ${entries(fresh)} that ${fresh === 1 ? 'was' : 'were'} not here${pictures}. Nothing was overwritten.`;
  if (clashes === 0) return what;
  return `${what} ${clashes === 1 ? 'Entries clash about 1 thing' : `Entries clash about ${clashes} things`}: choose which is right.`;
}
