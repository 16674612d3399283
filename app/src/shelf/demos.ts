// One chunk a demo, loaded only when it is asked for. What the truth of a demo is stays out of
// the app: it is for the tests.
const sources = import.meta.glob<unknown>(
  ['../../../data/demo/*.json', '!../../../data/demo/*truth*.json'],
  { import: 'default' },
);

const nameOf = (path: string): string => path.replace(/^.*\//, '').replace(/\.json$/, '');

/** Ids under which the invented trials are opened: `demo-` and the name of their file. */
export const demoIds: readonly string[] = Object.keys(sources).map(
  (path) => `demo-${nameOf(path)}`,
);

/** The raw document of an invented trial, to be checked by `readTrial`; undefined for other ids. */
export async function loadDemo(id: string): Promise<unknown> {
  const path = Object.keys(sources).find((source) => `demo-${nameOf(source)}` === id);
  const load = path === undefined ? undefined : sources[path];
  return load === undefined ? undefined : load();
}
