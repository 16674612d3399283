import { shortDate } from '@fairbed/report';
import type { LookChoice } from '../work/desk';

const dayOf = ({ day }: LookChoice): string => (day === undefined ? '' : `, ${shortDate(day)}`);

/** `round 3, 12 May`; a round's own name in place of its number. */
export function lookTitle(looks: readonly LookChoice[], id: string): string {
  const at = looks.findIndex((look) => look.id === id);
  const look = looks[at];
  return look === undefined ? `round ${id}` : `${look.name ?? `round ${at + 1}`}${dayOf(look)}`;
}

/** What may be looked at: all rounds, then one after the other back to the first. */
export function lookChoices(looks: readonly LookChoice[]) {
  const last = looks.at(-1);
  const earlier = looks
    .slice(0, -1)
    .reverse()
    .map(({ id }) => ({ id, title: `Up to ${lookTitle(looks, id)}` }));
  return [{ id: '', title: `All rounds${last === undefined ? '' : dayOf(last)}` }, ...earlier];
}
