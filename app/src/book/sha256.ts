/** The SHA-256 of bytes or of a text in UTF-8 (FIPS 180-4), as 64 hexadecimal digits. */
export async function sha256(content: Uint8Array | ArrayBuffer | string): Promise<string> {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  const digest = await crypto.subtle.digest('SHA-256', new Uint8Array(bytes));
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, '0')).join('');
}
