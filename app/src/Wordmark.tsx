/** Four plots of a bed, two and two: the untreated with an open circle, the treated with a leaf. */
export function Wordmark() {
  return (
    <>
      <svg viewBox="0 0 32 32" width="32" height="32" aria-hidden="true" focusable="false">
        <rect className="mark-soil" x="1" y="1" width="30" height="30" rx="4" />
        <rect className="mark-paper" x="4" y="4" width="11" height="11" rx="1" />
        <rect className="mark-leaf" x="17" y="4" width="11" height="11" rx="1" />
        <rect className="mark-leaf" x="4" y="17" width="11" height="11" rx="1" />
        <rect className="mark-paper" x="17" y="17" width="11" height="11" rx="1" />
        <circle className="mark-ring" cx="9.5" cy="9.5" r="2.8" />
        <circle className="mark-ring" cx="22.5" cy="22.5" r="2.8" />
      </svg>
      <span aria-hidden="true">Fairbed</span>
    </>
  );
}
