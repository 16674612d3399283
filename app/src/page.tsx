import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App, readScreen } from './App';
import { readRoute } from './route';

const place = document.getElementById('app');
if (!place) throw new Error('The page has no place for the app: an element with the id "app".');
const root = createRoot(place);
const draw = (): void =>
  root.render(
    <StrictMode>
      <App />
    </StrictMode>,
  );
// A screen that can't be read is asked for again where it is drawn, which says what is wrong.
readScreen(readRoute(window.location.hash)).then(draw, draw);
