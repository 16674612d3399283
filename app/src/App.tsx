import { Suspense, useEffect, useRef } from 'react';
import { Announcer } from './Announcer';
import { readLater } from './readLater';
import { type Route, shelfHref } from './route';
import { isReadLater, screens } from './screens';
import { DropAnywhere } from './sheet/DropAnywhere';
import { DrawingTones } from './style/DrawingTones';
import { useOffline } from './useOffline';
import { useRoute } from './useRoute';
import { TrialScreen } from './verdict/TrialScreen';
import { Wordmark } from './Wordmark';

function Lost({ asked }: { readonly asked: string }) {
  return (
    <>
      <h1 tabIndex={-1}>Where did that page go?</h1>
      <p>
        There is no page at <code>{asked}</code>. <a href={shelfHref}>Go to your trials.</a>
      </p>
    </>
  );
}

const later = {
  shelf: readLater(screens.shelf),
  sheet: readLater(screens.sheet),
  plan: readLater(screens.plan),
  stakes: readLater(screens.stakes),
  bed: readLater(screens.bed),
  history: readLater(screens.history),
  share: readLater(screens.share),
  photos: readLater(screens.photos),
  score: readLater(screens.score),
  stake: readLater(screens.stake),
};

/** Reads the screen of an address, so that the page's first drawing is whole. */
export async function readScreen({ screen }: Route): Promise<void> {
  if (isReadLater(screen)) await later[screen].read();
}

function Screen({ route }: { readonly route: Route }) {
  switch (route.screen) {
    case 'shelf':
      return <later.shelf.Screen />;
    case 'sheet':
      return <later.sheet.Screen />;
    case 'trial':
      return <TrialScreen key={route.id} id={route.id} view={route.view} />;
    case 'plan':
      return <later.plan.Screen key={route.id} id={route.id} />;
    case 'bed':
      return <later.bed.Screen key={route.id} id={route.id} />;
    case 'history':
      return <later.history.Screen key={route.id} route={route} />;
    case 'photos':
      return <later.photos.Screen key={route.id} route={route} />;
    case 'share':
      return <later.share.Screen key={route.id} id={route.id} />;
    case 'stakes':
      return <later.stakes.Screen key={route.id} id={route.id} />;
    case 'score':
      return <later.score.Screen key={route.id} route={route} />;
    case 'stake':
      return <later.stake.Screen key={route.id} route={route} />;
    default:
      return <Lost asked={window.location.hash} />;
  }
}

const headingOf = (): HTMLElement | null => document.querySelector<HTMLElement>('main h1');

/** The heading of a screen that is still being read or opened, once it is there. */
function onceHeaded(then: (heading: HTMLElement) => void): () => void {
  const main = document.querySelector('main');
  const watch = new MutationObserver(() => {
    const heading = headingOf();
    if (heading === null) return;
    watch.disconnect();
    then(heading);
  });
  if (main !== null) watch.observe(main, { childList: true, subtree: true });
  return () => watch.disconnect();
}

/** A new screen starts at its heading, for the eye and for a screen reader alike. */
function ToHeading({ place }: { readonly place: string }) {
  const seen = useRef(place);
  useEffect(() => {
    if (seen.current === place) return undefined;
    seen.current = place;
    window.scrollTo(0, 0);
    const heading = headingOf();
    heading?.focus({ preventScroll: true });
    if (heading !== null) return undefined;
    return onceHeaded((late) => late.focus({ preventScroll: true }));
  }, [place]);
  return null;
}

/** What must change for the page to begin anew at its heading. */
function placeOf(route: Route): string {
  if (!('id' in route)) return route.screen;
  const halt = route.screen === 'score' ? `/${route.plot ?? ''}/${route.plant ?? ''}` : '';
  return `${route.screen}/${route.id}${halt}`;
}

function Screens() {
  const route = useRoute();
  const place = placeOf(route);
  return (
    <Suspense>
      <Screen route={route} />
      <ToHeading place={place} />
    </Suspense>
  );
}

function skipToMain(event: { preventDefault: () => void }) {
  event.preventDefault();
  document.querySelector<HTMLElement>('main')?.focus();
}

/** The whole page: wordmark, one screen, foot. */
export function App() {
  const offline = useOffline();
  return (
    <Announcer>
      <DrawingTones />
      <a className="skip" href="#main" onClick={skipToMain}>
        Skip to the answer
      </a>
      <header className="page-head">
        <a className="wordmark" href={shelfHref} aria-label="Fairbed, your trials">
          <Wordmark />
        </a>
      </header>
      {offline.update && (
        <div className="strip" role="region" aria-label="New version">
          A newer Fairbed is ready.
          <button type="button" className="button quiet" onClick={offline.update}>
            Reload to use it
          </button>
        </div>
      )}
      <main id="main" tabIndex={-1}>
        <DropAnywhere />
        <Screens />
      </main>
      <footer className="page-foot">
        <p>
          Fairbed {__FAIRBED_VERSION__}.{' '}
          {offline.ready
            ? 'Ready to work without a network.'
            : 'Works without a network once loaded.'}
        </p>
      </footer>
    </Announcer>
  );
}
