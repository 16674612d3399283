import type { Problem } from '@fairbed/field';
import { findHostile } from './hostile';
import { migrateUp, type RawDocument, trialMigrations, trialVersion } from './migrate';
import { referenceProblems } from './references';
import { type Trial, trialSchema } from './schema';
import { shapeProblems, unknownFields } from './shape';

/** A trial, or why there is none. `notes` names what was in the document but not read. */
export type ReadTrial =
  | { readonly ok: true; readonly trial: Trial; readonly notes: readonly Problem[] }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** A list of a hundred thousand faults helps nobody. */
const mostProblems = 200;

function refuse(problems: readonly Problem[]): ReadTrial {
  if (problems.length <= mostProblems) return { ok: false, problems };
  const more: Problem = {
    kind: 'fault',
    code: 'more-problems',
    what: `There are ${problems.length - mostProblems} more problems of this sort.`,
    do: 'Correct those above first.',
  };
  return { ok: false, problems: [...problems.slice(0, mostProblems), more] };
}

const refuseOne = (code: string, what: string, remedy: string): ReadTrial =>
  refuse([{ kind: 'fault', code, what, do: remedy }]);

type Current =
  | { readonly document: RawDocument }
  | { readonly document: undefined; readonly refusal: ReadTrial };

const refused = (refusal: ReadTrial): Current => ({ document: undefined, refusal });

function atThisVersion(document: RawDocument): Current {
  const { version } = document;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return refused(
      refuseOne(
        'no-version',
        'At version: expected a whole number from 1, got something else.',
        'Open the file with the program that wrote it and save it again.',
      ),
    );
  }
  if (version > trialVersion) {
    return refused(
      refuseOne(
        'newer-version',
        `This trial was saved by a newer Fairbed (version ${version} of the document; this one reads up to ${trialVersion}).`,
        'Update Fairbed, then open it again. The file was not changed.',
      ),
    );
  }
  const current = migrateUp(document, version, trialVersion, trialMigrations);
  return current === undefined
    ? refused(
        refuseOne(
          'no-way-up',
          `Version ${version} of the trial document can't be read any more.`,
          'Open it with the Fairbed that wrote it.',
        ),
      )
    : { document: current };
}

/**
 * Reads a trial document from parsed JSON: refuses what could do harm, brings an older version up
 * to this one, checks the shape (schema.ts) and then every id, and says of each problem where it
 * is and what to do. Leaf counts that can't be are not refused here: the leaf balance and the
 * measures set those rows aside and report them.
 */
export function readTrial(json: unknown): ReadTrial {
  const hostile = findHostile(json);
  if (hostile !== undefined) return refuse([hostile]);
  if (typeof json !== 'object' || json === null || Array.isArray(json)) {
    return refuseOne(
      'not-a-trial',
      'This is not a trial document.',
      'Choose a trial saved by Fairbed.',
    );
  }
  const document = json as RawDocument;
  if (document['format'] !== 'fairbed-trial') {
    return refuseOne(
      'not-a-trial',
      'At format: expected "fairbed-trial". This is not a trial document.',
      'Choose a trial saved by Fairbed.',
    );
  }
  const current = atThisVersion(document);
  if (current.document === undefined) return current.refusal;
  const parsed = trialSchema.safeParse(current.document);
  if (!parsed.success) return refuse(shapeProblems(parsed.error.issues, current.document));
  const problems = referenceProblems(parsed.data);
  if (problems.length > 0) return refuse(problems);
  return { ok: true, trial: parsed.data, notes: unknownFields(current.document, parsed.data) };
}

/** Reads a trial document from the text of a file (see {@link readTrial}). */
export function readTrialText(text: string): ReadTrial {
  let json: unknown;
  try {
    json = JSON.parse(text.charCodeAt(0) === 0xfeff ? text.slice(1) : text);
  } catch (error) {
    return refuseOne(
      'not-json',
      `The file can't be read: ${error instanceof Error ? error.message.slice(0, 200) : 'it is not JSON'}.`,
      'It may be cut short. Fetch or save it again.',
    );
  }
  return readTrial(json);
}
