/** A parsed JSON object whose shape is not yet known. */
export type RawDocument = Readonly<Record<string, unknown>>;

/** One step between two versions of the trial document, and the way back. */
export type Migration = {
  /** The version it starts from; it leads to the next. */
  readonly from: number;
  readonly up: (document: RawDocument) => RawDocument;
  readonly down: (document: RawDocument) => RawDocument;
};

/** The version this program writes. */
export const trialVersion = 1;

/**
 * The steps from version 1 to {@link trialVersion}, numbered without gaps. None yet: version 1 is
 * the first. A new version adds one step here and a test of its way up and down.
 */
export const trialMigrations: readonly Migration[] = [];

/**
 * Brings a document of an older version up to `target` by walking the steps one by one. Returns
 * undefined where a step is missing or the document is newer than the target.
 */
export function migrateUp(
  document: RawDocument,
  from: number,
  target: number,
  steps: readonly Migration[],
): RawDocument | undefined {
  let current = document;
  for (let version = from; version < target; version++) {
    const step = steps.find((s) => s.from === version);
    if (step === undefined) return undefined;
    current = { ...step.up(current), version: version + 1 };
  }
  return from > target ? undefined : current;
}

/** The way back, for a program that reads only an older version; undefined where a step is missing. */
export function migrateDown(
  document: RawDocument,
  from: number,
  target: number,
  steps: readonly Migration[],
): RawDocument | undefined {
  let current = document;
  for (let version = from; version > target; version--) {
    const step = steps.find((s) => s.from === version - 1);
    if (step === undefined) return undefined;
    current = { ...step.down(current), version: version - 1 };
  }
  return from < target ? undefined : current;
}
