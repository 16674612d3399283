import { type ReactNode, type Ref, useEffect } from 'react';
import { bedHref, shelfHref } from '../route';
import { untitled } from './bookCards';
import type { OpenBook } from './liveBook';
import { useBook, useValue } from './useBook';

type PageProps = {
  readonly id: string;
  readonly className: string;
  /** What the page is of the trial, for the title of the window: `bed`, `history`. */
  readonly name: string;
  /** The heading: a question. */
  readonly question: string;
  readonly headingRef?: Ref<HTMLHeadingElement>;
  /** Steps of the way here after the trial's own name. */
  readonly trail?: ReactNode;
  readonly children: (open: OpenBook) => ReactNode;
};

/** The trial's name as it stands, in the way here and in the window's title. */
function Way({ open, name, trail }: Pick<PageProps, 'name' | 'trail'> & { open: OpenBook }) {
  const value = useValue(open, 'plan', 'title');
  const title = typeof value === 'string' ? value : untitled;
  useEffect(() => {
    document.title = `${title}, ${name} · Fairbed`;
  }, [title, name]);
  return (
    <>
      {' / '}
      {name === 'bed' ? title : <a href={bedHref(open.id)}>{title}</a>}
      {trail}
    </>
  );
}

/** One page of a trial kept as a book: opened when it is first wanted, or why it can't be. */
export function BookPage(props: PageProps) {
  const { id, className, name, question, headingRef, trail, children } = props;
  const book = useBook(id);
  return (
    <div className={className}>
      <p className="kicker">
        <a href={shelfHref}>Your trials</a>
        {book.state === 'open' && <Way open={book.open} name={name} trail={trail} />}
      </p>
      <h1 tabIndex={-1} ref={headingRef}>
        {question}
      </h1>
      {book.state === 'opening' && <p role="status">Opening the trial …</p>}
      {book.state === 'missing' && (
        <p className="sheet">
          No trial with this address is kept on this device. It may have been erased, or belong to
          another device. <a href={shelfHref}>Go to your trials, or bring it in as a file.</a>
        </p>
      )}
      {book.state === 'failed' && (
        <p className="sheet fault" role="alert">
          This trial could not be opened: {book.fault.message} Close other tabs of Fairbed and
          reload.
        </p>
      )}
      {book.state === 'open' && children(book.open)}
    </div>
  );
}
