import type { Entry } from '@fairbed/notebook';

/**
 * What one page tells the others: these entries of that document are on disk now. Without entries,
 * something else that the device knows of it has changed (its card, its back-up).
 */
export type News = {
  readonly document: string;
  readonly entries: readonly Entry[];
  /** The document was erased for good. */
  readonly erased?: true;
};

const channel =
  typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('fairbed-books');

type Listener = (news: News) => void;

const listeners = new Set<Listener>();
const newsListeners = new Set<Listener>();

const tellHere = (news: News): void => {
  for (const tell of [...listeners]) tell(news);
};

const added =
  (set: Set<Listener>) =>
  (listener: Listener): (() => void) => {
    set.add(listener);
    return () => {
      set.delete(listener);
    };
  };

channel?.addEventListener('message', ({ data }: MessageEvent<News>) => {
  for (const tell of [...newsListeners]) tell(data);
  tellHere(data);
});

/** Tells every other open page, and whoever listens on this one. */
export function tellChange(news: News): void {
  channel?.postMessage(news);
  tellHere(news);
}

/** Calls `listener` whenever what is stored of a book changes, by any page. */
export const onBookChange = added(listeners);

/** Calls `listener` with what other pages have stored. */
export const onNews = added(newsListeners);
