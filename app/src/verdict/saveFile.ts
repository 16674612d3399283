/** A title as the name of a file: plain letters, figures and hyphens; `trial` where none is left. */
export const fileNameOf = (title: string): string =>
  title
    .normalize('NFKD')
    .toLowerCase()
    .replace(/\p{M}/gu, '')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 60) || 'trial';

/** Hands bytes to the browser's downloads. Nothing is sent anywhere. */
export function saveFile(name: string, kind: string, bytes: Uint8Array): void {
  const address = URL.createObjectURL(new Blob([new Uint8Array(bytes)], { type: kind }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser needs the address until it has begun to write.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
