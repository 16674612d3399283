import { useSyncExternalStore } from 'react';
import { type Route, readRoute } from './route';

const subscribe = (changed: () => void): (() => void) => {
  window.addEventListener('hashchange', changed);
  window.addEventListener('popstate', changed);
  return () => {
    window.removeEventListener('hashchange', changed);
    window.removeEventListener('popstate', changed);
  };
};

let seen: { readonly hash: string; readonly route: Route } | undefined;

// The same object for the same address, or React would draw for ever.
function currentRoute(): Route {
  const { hash } = window.location;
  if (seen?.hash !== hash) seen = { hash, route: readRoute(hash) };
  return seen.route;
}

/** The screen asked for; follows links, the back button and typed addresses. */
export const useRoute = (): Route => useSyncExternalStore(subscribe, currentRoute);

/** Goes to another screen; the back button returns. */
export function goTo(href: string): void {
  window.location.hash = href;
}

/** Changes the address on the same screen without a new step for the back button. */
export function replaceAddress(href: string): void {
  window.history.replaceState(window.history.state, '', href);
  window.dispatchEvent(new PopStateEvent('popstate'));
}
