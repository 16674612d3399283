import { useEffect, useState } from 'react';
import { takeFile } from './pickedFile';

const carriesFiles = (event: DragEvent): boolean =>
  event.dataTransfer?.types.includes('Files') ?? false;

/** Lets a spreadsheet be dropped anywhere on the page, and shows that it may be let go. */
export function DropAnywhere() {
  const [over, setOver] = useState(false);
  useEffect(() => {
    const drag = (event: DragEvent): void => {
      if (!carriesFiles(event)) return;
      event.preventDefault();
      setOver(true);
    };
    const leave = (event: DragEvent): void => {
      if (event.relatedTarget === null) setOver(false);
    };
    const drop = (event: DragEvent): void => {
      if (!carriesFiles(event)) return;
      event.preventDefault();
      setOver(false);
      const file = event.dataTransfer?.files[0];
      if (file) takeFile(file);
    };
    window.addEventListener('dragover', drag);
    window.addEventListener('dragleave', leave);
    window.addEventListener('drop', drop);
    return () => {
      window.removeEventListener('dragover', drag);
      window.removeEventListener('dragleave', leave);
      window.removeEventListener('drop', drop);
    };
  }, []);
  if (!over) return null;
  return (
    <div className="drop-over" aria-hidden="true">
      <p>Let go to read this file</p>
    </div>
  );
}
