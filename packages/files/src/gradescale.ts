import type { Trial } from '@fairbed/trial';
import type { Measured } from './measured';
import type { RowBook } from './rowbook';
import { say } from './say';

type Scale = NonNullable<Trial['gradeScale']>;

/** Scales growers use; the smallest that holds all grades seen is offered in the question. */
const commonScales: readonly (readonly [number, number])[] = [
  [0, 3],
  [0, 4],
  [0, 5],
  [1, 5],
  [1, 9],
  [0, 9],
  [0, 10],
];

/**
 * The scale of the grades, from the grower's answers: all classes, and which end is healthy. Neither
 * is ever assumed: where one is missing it is asked, undefined comes back, and every row with a grade
 * is set aside until it is answered, because a grade without its scale has no direction.
 */
export function settleScale(
  graded: readonly Measured[],
  answers: {
    readonly gradeClasses?: readonly number[] | undefined;
    readonly healthyGrade?: number | undefined;
  },
  book: RowBook,
): Scale | undefined {
  if (graded.length === 0) return undefined;
  const [first, last] = [
    graded[0]?.column.name ?? '',
    graded[graded.length - 1]?.column.name ?? '',
  ];
  const where = { file: book.table.file, column: first === last ? first : `${first} to ${last}` };
  const [least, most] = rangeOf(graded);
  if (least > most) return undefined;
  const { gradeClasses: classes, healthyGrade: healthy } = answers;
  const known = classes !== undefined && classes.length >= 2;
  if (!known) book.add(say('grade-classes', where, least, most, offered(least, most)));
  if (healthy === undefined) {
    const ends = known ? [classes[0] ?? least, classes[classes.length - 1] ?? most] : [least, most];
    book.add(say('grade-healthy', where, ends[0] ?? least, ends[1] ?? most));
  }
  if (known && healthy !== undefined) {
    if (healthy === classes[0] || healthy === classes[classes.length - 1]) {
      return { classes: [...classes], healthy };
    }
    book.add(say('healthy-not-end', where, healthy, classes));
  }
  for (const { column, figures: known } of graded) {
    column.codes.forEach((code, row) => {
      if (!Number.isNaN(known[code])) book.setAsideAlso(row);
    });
  }
  return undefined;
}

function rangeOf(graded: readonly Measured[]): [number, number] {
  const range: [number, number] = [Infinity, -Infinity];
  for (const { figures } of graded) {
    for (const n of figures) {
      // NaN (not scored) compares as false.
      if (n < range[0]) range[0] = n;
      if (n > range[1]) range[1] = n;
    }
  }
  return range;
}

const offered = (least: number, most: number): readonly number[] =>
  commonScales.find(([a, b]) => a <= least && b >= most && (a === least || least > 1)) ?? [
    least,
    most,
  ];
