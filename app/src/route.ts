import type { MethodId } from '@fairbed/verdict';

/** Which screen the address asks for. The part after `#` only, so that one file serves them all. */
export type Route =
  | { readonly screen: 'shelf' }
  | { readonly screen: 'sheet' }
  | { readonly screen: 'trial'; readonly id: string; readonly view: View }
  | { readonly screen: 'plan' | 'bed' | 'stakes' | 'share'; readonly id: string }
  | PhotosRoute
  | ScoreRoute
  | { readonly screen: 'stake'; readonly id: string; readonly code: string }
  | HistoryRoute
  | { readonly screen: 'unknown'; readonly asked: string };

/** A round of scoring: at the start of its walk, at a plot or at a plant. */
export type ScoreRoute = {
  readonly screen: 'score';
  readonly id: string;
  readonly round: string;
  readonly plot?: string;
  readonly plant?: string;
};

/** Photos: of the whole trial, or of one plot from round to round. */
export type PhotosRoute = {
  readonly screen: 'photos';
  readonly id: string;
  readonly plot?: string;
};

/** What was entered: in the whole trial, of one kind, or about one thing. */
export type HistoryRoute = {
  readonly screen: 'history';
  readonly id: string;
  readonly kind?: string;
  readonly thing?: string;
};

/** The route of a screen: what its component is given. */
export type RouteOf<S extends Route['screen']> = Extract<Route, { readonly screen: S }>;

/** What the reader chose on a verdict page; kept in the address so that a reload brings it back. */
export type View = {
  readonly outcome?: string;
  readonly baseline?: string;
  readonly control?: string;
  /** Grounds to judge on; by rule when left out. */
  readonly method?: MethodId;
  /** Id of the round after which to look. */
  readonly look?: string;
  /** Smallest difference worth having, percent less disease than the control, 0 to 100. */
  readonly worth?: number;
};

const readWorth = (text: string | null): number | undefined => {
  if (text === null || text.trim() === '') return undefined;
  const worth = Number(text);
  return worth >= 0 && worth <= 100 ? worth : undefined;
};

const methods: readonly MethodId[] = ['plots', 'leaves', 'grades', 'weeks', 'days'];

function readView(query: string): View {
  const asked = new URLSearchParams(query);
  const outcome = asked.get('outcome');
  const baseline = asked.get('baseline');
  const control = asked.get('control');
  const method = methods.find((id) => id === asked.get('method'));
  const look = asked.get('look');
  const worth = readWorth(asked.get('worth'));
  return {
    ...(outcome ? { outcome } : {}),
    ...(baseline ? { baseline } : {}),
    ...(control ? { control } : {}),
    ...(method ? { method } : {}),
    ...(look ? { look } : {}),
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

type Reader = (id: string, rest: readonly string[], query: string) => Route | undefined;

const plain =
  (screen: 'plan' | 'bed' | 'stakes' | 'share'): Reader =>
  (id, rest) =>
    rest.length === 0 ? { screen, id } : undefined;

/** The screens of one trial: `#/<screen>/<id>/...`. */
const ofTrial: Readonly<Record<string, Reader>> = {
  trial: (id, rest, query) =>
    rest.length === 0 ? { screen: 'trial', id, view: readView(query) } : undefined,
  plan: plain('plan'),
  bed: plain('bed'),
  stakes: plain('stakes'),
  photos: (id, [plot, ...more]) =>
    more.length > 0 ? undefined : { screen: 'photos', id, ...(plot === undefined ? {} : { plot }) },
  share: plain('share'),
  score: (id, [round, plot, plant, ...more]) =>
    round === undefined || more.length > 0
      ? undefined
      : {
          screen: 'score',
          id,
          round,
          ...(plot === undefined ? {} : { plot }),
          ...(plant === undefined ? {} : { plant }),
        },
  stake: (id, [code, ...more]) =>
    code === undefined || more.length > 0 ? undefined : { screen: 'stake', id, code },
  history: (id, [kind, thing, ...more]) =>
    more.length > 0
      ? undefined
      : {
          screen: 'history',
          id,
          ...(kind === undefined ? {} : { kind }),
          ...(thing === undefined ? {} : { thing }),
        },
};

/** Reads `location.hash`. An address that names no screen comes back as `unknown`, never a guess. */
export function readRoute(hash: string): Route {
  const unknown: Route = { screen: 'unknown', asked: hash };
  const [path = '', query = ''] = hash.replace(/^#/, '').split('?', 2);
  const [screen, ...rest] = path.split('/').filter((part) => part !== '');
  if (screen === undefined) return { screen: 'shelf' };
  const [id, ...more] = rest.map(decoded);
  if (screen === 'sheet' && rest.length === 0) return { screen: 'sheet' };
  if (id === undefined || !Object.hasOwn(ofTrial, screen)) return unknown;
  const parts = more.filter((part) => part !== undefined);
  if (parts.length < more.length) return unknown;
  return ofTrial[screen]?.(id, parts, query) ?? unknown;
}

const hrefOf = (...parts: readonly (string | undefined)[]): string =>
  `#/${parts
    .filter((part) => part !== undefined)
    .map(encodeURIComponent)
    .join('/')}`;

/** The plan of a trial: its question, treatments, beds and layout. */
export const planHref = (id: string): string => hrefOf('plan', id);
/** The bed of a trial: map, rounds, reveal. */
export const bedHref = (id: string): string => hrefOf('bed', id);
/** A round of scoring; at a plot, at a plant, or where its walk is to go on. */
export const scoreHref = (id: string, round: string, plot?: string, plant?: string): string =>
  hrefOf('score', id, round, plot, plot === undefined ? undefined : plant);
/** Stakes and maps to print. */
export const stakesHref = (id: string): string => hrefOf('stakes', id);
/** What the code on a stake opens. */
export const stakeHref = (id: string, code: string): string => hrefOf('stake', id, code);
/** Photos of the whole trial, or of one plot from round to round. */
export const photosHref = (id: string, plot?: string): string => hrefOf('photos', id, plot);
/** What was entered: in all, of one kind, or about one thing. */
export const historyHref = (id: string, kind?: string, thing?: string): string =>
  hrefOf('history', id, kind, kind === undefined ? undefined : thing);
/** Back-up, and a trial out and in as a file. */
export const shareHref = (id: string): string => hrefOf('share', id);

/** The address of a trial's verdict page: `#/trial/<id>`, with the reader's choices behind `?`. */
export function trialHref(id: string, view: View = {}): string {
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(view)) query.set(name, String(value));
  const tail = query.size > 0 ? `?${query.toString()}` : '';
  return `#/trial/${encodeURIComponent(id)}${tail}`;
}

export const shelfHref = '#/';
export const sheetHref = '#/sheet';
