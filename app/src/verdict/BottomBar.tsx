/** Parts of the verdict page, in reading order. */
export type Part = { readonly id: string; readonly label: string };

const goToPart = (id: string): void => {
  const part = document.getElementById(id);
  part?.scrollIntoView({ block: 'start' });
  part?.querySelector<HTMLElement>('h1, h2')?.focus({ preventScroll: true });
};

/** On a phone: the way to every part of the page, and the bed brought up beside any of them. */
export function BottomBar({
  parts,
  bedDocked,
  onBed,
}: {
  readonly parts: readonly Part[];
  readonly bedDocked: boolean;
  readonly onBed: () => void;
}) {
  return (
    <nav className="bottom-bar" aria-label="Parts of this page">
      {parts.map((part) => (
        <button key={part.id} type="button" onClick={() => goToPart(part.id)}>
          {part.label}
        </button>
      ))}
      <button type="button" aria-pressed={bedDocked} onClick={onBed}>
        Bed
      </button>
    </nav>
  );
}
