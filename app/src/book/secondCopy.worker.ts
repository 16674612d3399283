// Keeps the files of the second copy: see secondCopy.ts.
import { copiesFolder, type CopyJob, erasedName, partName } from './copyNames';

/** Of the platform's types only what is used: they are in no list that pages share. */
type Handle = {
  getSize(): number;
  read(into: Uint8Array, at: { at: number }): number;
  write(bytes: Uint8Array, at: { at: number }): number;
  close(): void;
};
type Openable = FileSystemFileHandle & { createSyncAccessHandle(): Promise<Handle> };

const mostPages = 16;
const open = new Map<string, Promise<Handle>>();
const encoder = new TextEncoder();

const folder = async (): Promise<FileSystemDirectoryHandle> =>
  (await navigator.storage.getDirectory()).getDirectoryHandle(copiesFolder, { create: true });

/** A file that no other page has open: the first, the second ... of that name. */
async function openPart(name: string): Promise<Handle> {
  const place = await folder();
  for (let part = 0; ; part++) {
    const file = (await place.getFileHandle(partName(name, part), { create: true })) as Openable;
    try {
      const handle = await file.createSyncAccessHandle();
      closeLine(handle);
      // It is written anew: brought in again after it was erased.
      await place.removeEntry(erasedName(name)).catch(() => undefined);
      return handle;
    } catch (fault) {
      const taken = fault instanceof DOMException && fault.name === 'NoModificationAllowedError';
      if (!taken || part === mostPages) throw fault;
    }
  }
}

/** A line that was torn when the browser was killed ends here, so that the next stands by itself. */
function closeLine(handle: Handle): void {
  const size = handle.getSize();
  if (size === 0) return;
  const last = new Uint8Array(1);
  handle.read(last, { at: size - 1 });
  if (last[0] !== 10) handle.write(encoder.encode('\n'), { at: size });
}

function partOf(name: string): Promise<Handle> {
  const known = open.get(name);
  if (known) return known;
  const coming = openPart(name);
  open.set(name, coming);
  coming.catch(() => open.delete(name));
  return coming;
}

async function addLines(name: string, text: string): Promise<void> {
  const handle = await partOf(name);
  const bytes = encoder.encode(text);
  try {
    const written = handle.write(bytes, { at: handle.getSize() });
    if (written < bytes.length) throw new Error('The line was cut short.');
  } catch (fault) {
    closeLine(handle);
    throw fault;
  }
}

async function keepWhole(name: string, bytes: ArrayBuffer): Promise<void> {
  const file = (await (await folder()).getFileHandle(name, { create: true })) as Openable;
  const handle = await file.createSyncAccessHandle();
  try {
    if (handle.getSize() < bytes.byteLength) handle.write(new Uint8Array(bytes), { at: 0 });
  } finally {
    handle.close();
  }
}

async function erase(name: string): Promise<void> {
  const handle = open.get(name);
  open.delete(name);
  await handle?.then((one) => one.close());
  const place = await folder();
  await place.getFileHandle(erasedName(name), { create: true });
  for (let part = 0; part <= mostPages; part++) {
    await place.removeEntry(partName(name, part)).catch(() => undefined);
  }
}

const drop = async (file: string): Promise<void> =>
  (await folder()).removeEntry(file).catch(() => undefined);

const done = (job: CopyJob): Promise<void> => {
  switch (job.kind) {
    case 'lines':
      return addLines(job.name, job.text);
    case 'whole':
      return keepWhole(job.file, job.bytes);
    case 'erase':
      return erase(job.name);
    case 'drop':
      return drop(job.file);
  }
};

// One after another: a file that is being opened must not be opened twice.
let last: Promise<unknown> = Promise.resolve();
addEventListener('message', ({ data }: MessageEvent<CopyJob & { readonly n: number }>) => {
  last = last
    .then(() => done(data))
    .then(
      () => postMessage({ n: data.n }),
      (fault: unknown) => postMessage({ n: data.n, fault: String(fault) }),
    );
});
