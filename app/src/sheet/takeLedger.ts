import { bedHref } from '../route';
import { keepTaken } from '../share/taken';
import { goTo } from '../useRoute';
import type { Opened } from '../work/sheetView';

/**
 * Takes a data package with a ledger in, joined to the trial it comes from where that is here, and
 * opens its bed. A package that is damaged is refused whole.
 */
export async function takeLedger(file: File): Promise<Opened> {
  const { takeIn } = await import('../book/exchange');
  const taken = await takeIn(new Uint8Array(await file.arrayBuffer()), file.name);
  if (taken.kind === 'refused') return taken;
  if (taken.kind !== 'trial') {
    keepTaken({ taken, file: file.name });
    goTo(bedHref(taken.id));
  }
  return { kind: 'ledger' };
}
