/**
 * One text for one value: JSON with the keys of every object in the order of their UTF-16 code
 * units, no blanks, numbers and texts as ECMAScript writes them (RFC 8785, JSON Canonicalization
 * Scheme, sections 3.2.2 and 3.2.3). Fields whose value is undefined are left out, as in JSON.
 * Throws a RangeError for NaN and infinities, which JSON has no word for (section 3.2.2.3).
 */
export function canonicalJson(value: unknown): string {
  if (typeof value === 'number' && !Number.isFinite(value)) {
    throw new RangeError(`${value} can't be written as JSON.`);
  }
  if (typeof value !== 'object' || value === null) return JSON.stringify(value ?? null);
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`;
  const fields = Object.entries(value)
    .filter(([, field]) => field !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${fields.map(([key, field]) => `${JSON.stringify(key)}:${canonicalJson(field)}`).join(',')}}`;
}

/** Whether two values are the same as JSON, whatever the order of their keys. */
export const sameJson = (a: unknown, b: unknown): boolean => canonicalJson(a) === canonicalJson(b);
