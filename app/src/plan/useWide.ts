import { useSyncExternalStore } from 'react';

const query = '(min-width: 1024px)';

const subscribe = (tell: () => void): (() => void) => {
  const list = window.matchMedia(query);
  list.addEventListener('change', tell);
  return () => list.removeEventListener('change', tell);
};

/** Whether there is room for the map and the figures beside the questions. */
export const useWide = (): boolean =>
  useSyncExternalStore(subscribe, () => window.matchMedia(query).matches);
