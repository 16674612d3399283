import '@fontsource-variable/atkinson-hyperlegible-next/wght.css';
import './style/index.css';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './App';
import { warmUp } from './work/trials';

const place = document.getElementById('app');
if (!place) throw new Error('The page has no place for the app: an element with the id "app".');
warmUp();
createRoot(place).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
