import type { Json } from '@fairbed/notebook';

/** A value as an entry holds it: what is undefined is left out. */
export const asJson = (value: unknown): Json => JSON.parse(JSON.stringify(value ?? null)) as Json;
