import { type Remote, wrap } from 'comlink';

/**
 * Has one job done in a worker of its own, which ends with it: the page stays alive under the thumb
 * meanwhile.
 */
export async function aside<Hand, T>(
  worker: Worker,
  job: (hand: Remote<Hand>) => Promise<T>,
): Promise<T> {
  const broken = new Promise<never>((_, reject) => {
    worker.addEventListener('error', (event) => reject(new Error(event.message)));
  });
  try {
    return await Promise.race([job(wrap<Hand>(worker)), broken]);
  } finally {
    worker.terminate();
  }
}
