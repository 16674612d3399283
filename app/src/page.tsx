import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './App';

const place = document.getElementById('app');
if (!place) throw new Error('The page has no place for the app: an element with the id "app".');
createRoot(place).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
