// Plain files beside the app, fetched only when one is asked for. What the truth of a demo is
// stays out of the app: it is for the tests.
const addresses = import.meta.glob<string>(
  ['../../../data/demo/*.json', '!../../../data/demo/*truth*.json'],
  { import: 'default', query: '?url', eager: true },
);

const nameOf = (path: string): string => path.replace(/^.*\//, '').replace(/\.json$/, '');
const addressOf: ReadonlyMap<string, string> = new Map(
  Object.entries(addresses).map(([path, address]) => [`demo-${nameOf(path)}`, address]),
);

/** Ids under which the invented trials are opened: `demo-` and the name of their file. */
export const demoIds: readonly string[] = [...addressOf.keys()];

export const isDemo = (id: string): boolean => addressOf.has(id);

/** The raw document of an invented trial, to be checked by `readTrial`; undefined for other ids. */
export async function loadDemo(id: string): Promise<unknown> {
  const address = addressOf.get(id);
  if (address === undefined) return undefined;
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`The example could not be fetched (${answer.status}).`);
  return answer.json();
}
