import { powerStudy } from '@fairbed/verdict';
import type { PowerOrder, PowerWord } from './powerWork';

/** Milliseconds between two words: the first is there at once, and Stop is never far. */
const pause = 150;
const firstTrials = 10;

const say = (word: PowerWord): void => self.postMessage(word);

/** Simulates what was ordered, with a word of how far it is. */
function work({ index, question, trials }: PowerOrder): void {
  const begun = powerStudy(question);
  if (!begun.ok) {
    say({ kind: 'refused', index, problem: begun.problem });
    return;
  }
  let done = 0;
  let part = firstTrials;
  while (done < trials) {
    const now = Math.min(part, trials - done);
    const start = performance.now();
    begun.study.run(now);
    const took = performance.now() - start;
    done += now;
    // How the work is cut up does not change its figures.
    part = Math.max(1, Math.min(200, Math.round((now * pause) / Math.max(1, took))));
    const figures = begun.study.figures();
    if (figures) say({ kind: 'figures', index, figures });
  }
  say({ kind: 'done', index });
}

self.addEventListener('message', (event: MessageEvent<PowerOrder>) => {
  work(event.data);
});
