/** Which screen the address asks for. The part after `#` only, so that one file serves them all. */
export type Route =
  | { readonly screen: 'shelf' }
  | { readonly screen: 'sheet' }
  | { readonly screen: 'trial'; readonly id: string; readonly view: View }
  | { readonly screen: 'unknown'; readonly asked: string };

/** What the reader chose on a verdict page; kept in the address so that a reload brings it back. */
export type View = {
  readonly outcome?: string;
  readonly baseline?: string;
  readonly control?: string;
  /** Smallest difference worth having, percent less disease than the control, 0 to 100. */
  readonly worth?: number;
};

const readWorth = (text: string | null): number | undefined => {
  if (text === null || text.trim() === '') return undefined;
  const worth = Number(text);
  return worth >= 0 && worth <= 100 ? worth : undefined;
};

function readView(query: string): View {
  const asked = new URLSearchParams(query);
  const outcome = asked.get('outcome');
  const baseline = asked.get('baseline');
  const control = asked.get('control');
  const worth = readWorth(asked.get('worth'));
  return {
    ...(outcome ? { outcome } : {}),
    ...(baseline ? { baseline } : {}),
    ...(control ? { control } : {}),
    ...(worth === undefined ? {} : { worth }),
  };
}

const decoded = (text: string): string | undefined => {
  try {
    return decodeURIComponent(text);
  } catch {
    return undefined;
  }
};

/** Reads `location.hash`. An address that names no screen comes back as `unknown`, never a guess. */
export function readRoute(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#/, '').split('?', 2);
  const parts = path.split('/').filter((part) => part !== '');
  if (parts.length === 0) return { screen: 'shelf' };
  if (parts.length === 1 && parts[0] === 'sheet') return { screen: 'sheet' };
  const id = parts[1] === undefined ? undefined : decoded(parts[1]);
  if (parts.length === 2 && parts[0] === 'trial' && id !== undefined) {
    return { screen: 'trial', id, view: readView(query) };
  }
  return { screen: 'unknown', asked: hash };
}

/** The address of a trial's verdict page: `#/trial/<id>`, with the reader's choices behind `?`. */
export function trialHref(id: string, view: View = {}): string {
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(view)) query.set(name, String(value));
  const tail = query.size > 0 ? `?${query.toString()}` : '';
  return `#/trial/${encodeURIComponent(id)}${tail}`;
}

export const shelfHref = '#/';
export const sheetHref = '#/sheet';
