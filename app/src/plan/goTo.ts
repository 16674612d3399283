/** Goes to a question on the page, for the eye and for a screen reader; the address stays. */
export const goToQuestion =
  (number: number) =>
  (event: { preventDefault: () => void }): void => {
    event.preventDefault();
    const question = document.getElementById(`question-${number}`);
    question?.scrollIntoView({ block: 'start' });
    question?.querySelector<HTMLElement>('h2')?.focus({ preventScroll: true });
  };
