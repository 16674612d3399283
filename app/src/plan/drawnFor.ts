import { sameJson } from '@fairbed/notebook';
import { asJson } from './json';
import type { Plan } from './usePlan';

/** Whether the layout in use was drawn for the plan as it stands, and for the beds as they are. */
export function isDrawnFor({ draws, request, places }: Pick<Plan, 'draws' | 'request' | 'places'>) {
  const last = draws.at(-1);
  if (last === undefined || places.state === 'fault') return false;
  if (!sameJson(asJson(last.value.request), asJson(request))) return false;
  const drawn = last.value.layout.map(({ place }) => place);
  if (places.state === 'none') return drawn.every((place) => place === undefined);
  if (drawn.length !== places.cells.length) return false;
  return places.cells.every(({ bed, x, y, width, height }, i) =>
    sameJson(asJson(drawn[i] ?? null), { bed, x, y, width, height }),
  );
}
