import '@fontsource-variable/atkinson-hyperlegible-next/wght.css';
import './style/index.css';
import { readAgainWhenPartsFail } from './readAgain';
import { begin } from './work/begin';

// The answer and the page are made side by side: this small file starts the worker, then reads
// the screens.
readAgainWhenPartsFail();
begin(window.location.hash);
void import('./page');
