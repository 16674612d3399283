import type { Answers } from '../sheet/answers';
import type { Trial } from '@fairbed/trial';
import type { Report } from './desk';
import { type Hand, hire } from './foreman';
import type { Opened, Tried } from './sheetView';

let hand: Hand | undefined;

const theHand = (): Hand => {
  hand ??= hire();
  return hand;
};

/** Stops reading at once; the open sheet is let go and has to be opened again. */
export function stopReading(): void {
  const old = hand;
  hand = undefined;
  old?.stop();
}

/** Reads a file in the worker. Its sheet stays open there until the next one. */
export async function openSheet(
  file: File,
  sheet: string | undefined,
  report: Report,
): Promise<Opened> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  return theHand().ask<Opened>(report, (desk, say) => desk.openFile(bytes, file.name, sheet, say));
}

/** What comes of the open sheet's rows with these answers. */
export const tryAnswers = (answers: Answers, report: Report): Promise<Tried> =>
  theHand().ask(report, (desk, say) => desk.tryAnswers(answers, say));

/** The open sheet as a trial. */
export const takeTrial = (answers: Answers, report: Report): Promise<Trial> =>
  theHand().ask(report, (desk, say) => desk.takeTrial(answers, say));
