import type { Entry } from '@fairbed/notebook';

/** What one page tells the others: these entries of that document are on disk now. */
export type News = { readonly document: string; readonly entries: readonly Entry[] };

const channel =
  typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('fairbed-books');

const bookListeners = new Set<(document: string) => void>();
const newsListeners = new Set<(news: News) => void>();

const tellBook = (document: string): void => {
  for (const tell of bookListeners) tell(document);
};

channel?.addEventListener('message', ({ data }: MessageEvent<News>) => {
  for (const tell of newsListeners) tell(data);
  tellBook(data.document);
});

/** Tells every other open page, and whoever listens on this one. */
export function tellChange(news: News): void {
  channel?.postMessage(news);
  tellBook(news.document);
}

/** Calls `listener` with a document's id whenever its stored entries change, on any page. */
export function onBookChange(listener: (document: string) => void): () => void {
  bookListeners.add(listener);
  return () => {
    bookListeners.delete(listener);
  };
}

/** Calls `listener` with what other pages have written. */
export function onNews(listener: (news: News) => void): () => void {
  newsListeners.add(listener);
  return () => {
    newsListeners.delete(listener);
  };
}
