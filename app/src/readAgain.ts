const key = 'fairbed.read-again';
/** A part that fails twice within this time, in milliseconds, is not to be had: no use in a third. */
const tooSoon = 15_000;

/**
 * A part of the program that could not be read (the signal went, a new version took its place)
 * leaves a page that does nothing, and browsers do not try again by themselves. The page is read
 * anew, once; what was typed is written as it is put away.
 */
export function readAgainWhenPartsFail(): void {
  window.addEventListener('vite:preloadError', () => {
    try {
      const last = Number(sessionStorage.getItem(key) ?? 0);
      if (Date.now() - last < tooSoon) return;
      sessionStorage.setItem(key, String(Date.now()));
    } catch {
      // Without a memory of the last time it might go on for ever.
      return;
    }
    window.location.reload();
  });
}
