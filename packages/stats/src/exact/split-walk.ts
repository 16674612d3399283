import type { Random } from '../random';
import type { WholePlots } from './layout-set';

/** The labels of a split plot's whole plots, each list in ascending order. */
type Hands = readonly (readonly number[])[];

const handsOf = (group: WholePlots[number], labels: ArrayLike<number>): Hands =>
  group.map((places) => places.map((p) => labels[p]).sort((a, b) => a - b));

type Kinds = { readonly hands: Hands; readonly left: Int32Array };

/** Different hands of a group and how often each is there. */
const kindsOf = (hands: Hands): Kinds => {
  const names = [...new Set(hands.map(String))];
  const left = new Int32Array(names.length);
  for (const hand of hands) left[names.indexOf(String(hand))]++;
  return { hands: names.map((name) => hands.find((hand) => String(hand) === name) ?? []), left };
};

/** Writes every different order of `hand` into `places`, one after the other. */
const forEachOrder = (
  places: readonly number[],
  hand: readonly number[],
  labels: Uint8Array,
  visit: () => void,
): void => {
  const used = new Uint8Array(hand.length);
  const place = (i: number): void => {
    if (i === places.length) {
      visit();
      return;
    }
    for (let h = 0; h < hand.length; h++) {
      // Of equal labels only the first that is left: each order once.
      if (used[h] === 1 || (h > 0 && hand[h] === hand[h - 1] && used[h - 1] === 0)) continue;
      used[h] = 1;
      labels[places[i]] = hand[h];
      place(i + 1);
      used[h] = 0;
    }
  };
  place(0);
};

/**
 * Visits every layout of a split plot once: each way to deal the hands of a group to its whole
 * plots, each order within every whole plot. The labels are reused between visits.
 */
export function walkSplit(
  groups: WholePlots,
  drawn: ArrayLike<number>,
  visit: (labels: Uint8Array) => void,
): void {
  const labels = Uint8Array.from(drawn);
  const kinds = groups.map((group) => kindsOf(handsOf(group, drawn)));
  const deal = (g: number, w: number): void => {
    if (g === groups.length) {
      visit(labels);
      return;
    }
    if (w === groups[g].length) {
      deal(g + 1, 0);
      return;
    }
    const { hands, left } = kinds[g];
    for (let h = 0; h < hands.length; h++) {
      if (left[h] === 0) continue;
      left[h]--;
      forEachOrder(groups[g][w], hands[h], labels, () => deal(g, w + 1));
      left[h]++;
    }
  };
  deal(0, 0);
}

/**
 * Draws a layout of a split plot: each equally likely. Hands are first put in an order of their own,
 * so that what comes hangs on the set of layouts and not on which of it was drawn.
 */
export function shuffleSplit(
  groups: WholePlots,
  drawn: ArrayLike<number>,
): (random: Random, out: Uint8Array) => void {
  const hands = groups.map((group) =>
    handsOf(group, drawn)
      .toSorted((a, b) => (String(a) < String(b) ? -1 : 1))
      .map((hand) => Uint8Array.from(hand)),
  );
  return (random, out) => {
    groups.forEach((group, g) => {
      random.shuffle(hands[g]);
      group.forEach((places, w) => {
        const hand = hands[g][w];
        random.shuffle(hand);
        for (let i = 0; i < places.length; i++) out[places[i]] = hand[i];
      });
    });
  };
}
