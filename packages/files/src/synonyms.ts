import type { Role } from './mapping';

/** A heading made plain: lower case, no accents, words apart. `yield_kg_ha` is "yield kg ha". */
export function plainHeading(heading: string): string {
  return heading
    .slice(0, 200)
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .normalize('NFD')
    .replace(/[\u0300-\u036f]/g, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}%]+/gu, ' ')
    .trim();
}

/**
 * Headings as growers and technicians write them, in English and a few other languages (German,
 * French, Spanish, Italian, Portuguese, Dutch), accents dropped. A heading matches when it is one of
 * these, or holds one of the `within` words.
 */
const known: readonly { readonly role: Role; readonly whole: string; readonly within?: string }[] =
  [
    {
      role: 'treatment',
      whole:
        'treatment|treatments|treat|treated with|trt|tmt|trtmt|product|spray|fungicide|variety|cultivar|gen|entry|behandlung|variante|mittel|sorte|traitement|modalite|tratamiento|producto|trattamento|tesi|tratamento|behandeling|group',
      within: 'treatment|behandlung|traitement|tratamiento|trattamento|tratamento|behandeling',
    },
    {
      role: 'block',
      whole:
        'block|blk|rep|reps|replicate|replication|replicat|bed|wiederholung|wdh|bloc|repetition|bloque|repeticion|blocco|ripetizione|ripetizioni|bloco|repeticao|blok|herhaling',
      within: 'block|replicate',
    },
    { role: 'wholePlot', whole: 'whole plot|main plot|wholeplot|mainplot|wp|grossparzelle' },
    {
      role: 'row',
      whole: 'row|rows|plot row|range|rowpos|row pos|reihe|rang|ligne|fila|riga|linha|rij',
    },
    {
      role: 'column',
      whole:
        'col|column|columns|plot column|colpos|col pos|spalte|colonne|columna|colonna|coluna|kolom',
    },
    {
      role: 'plot',
      whole:
        'plot|plots|plot no|plot nr|plot number|plot id|plotid|stake|parzelle|pz|parcelle|parcela|parcella|veld|veldje|tray|pot',
      within: 'parzelle|parcelle',
    },
    {
      role: 'plant',
      whole:
        'plant|plant no|plant nr|plant number|plant id|plantid|vine|tree|pflanze|plante|pied|planta|pianta',
    },
    {
      role: 'part',
      whole:
        'part|shoot|branch|stem|cane|leaf no|leaf number|subsample|sample|sub plot sample|trieb|rameau|brote',
    },
    {
      role: 'date',
      whole:
        'date|day|datum|fecha|data|jour|tag|scored on|date scored|score date|scoring date|assessment date|rating date|dap|das|dae|days after planting|days after sowing|days',
      within: 'date|datum|fecha',
    },
    {
      role: 'round',
      whole:
        'round|week|wk|visit|assessment|rating no|score no|runde|woche|bonitur|semaine|semana|settimana|week no|time point|occasion',
    },
    {
      role: 'diseased',
      whole:
        'diseased|infected|sick|affected|with disease|diseased leaves|infected leaves|leaves diseased|leaves infected|leaves with disease|n diseased|number diseased|krank|kranke blatter|befallen|befallene blatter|malades|feuilles malades|enfermas|hojas enfermas|malate|foglie malate|doentes|ziek|zieke bladeren',
      within: 'diseased|infected',
    },
    {
      role: 'leaves',
      whole:
        'leaves|leaf count|leaves total|total leaves|total|leaves standing|standing|standing leaves|number of leaves|no of leaves|n leaves|n|of|blatter|blatter gesamt|gesamt|feuilles|hojas|foglie|folhas|bladeren',
      within: 'leaves',
    },
    {
      role: 'stripped',
      whole:
        'stripped|removed|leaves removed|leaves stripped|picked off|picked|entfernt|effeuille|quitadas|rimosse|removidas|verwijderd',
      within: 'stripped|removed',
    },
    {
      role: 'lost',
      whole: 'lost|leaves lost|dropped|fallen|verloren|abgefallen|perdues|perdidas|perse',
      within: 'lost|fallen',
    },
    {
      role: 'severity',
      whole:
        'severity|sev|severity %|severity pct|% severity|disease %|% disease|percent disease|disease percent|% area|area diseased|percent|befall %|befall|befallsstarke|severite|severidad|severidade|gravita|aantasting',
      within: 'severity|severidad|severidade|severite|befallsstarke',
    },
    {
      role: 'grade',
      whole:
        'grade|score|rating|class|scale|disease score|disease rating|note boniture|boniturnote|bonitur|notation|nota|punteggio|cijfer',
      within: 'grade|rating|score',
    },
    {
      role: 'injury',
      whole: 'injury|crop injury|phytotoxicity|phyto|scorch|damage',
      within: 'injury|phytotox|scorch',
    },
    { role: 'vigour', whole: 'vigour|vigor|wuchs', within: 'vigour|vigor' },
    { role: 'stage', whole: 'stage|growth stage|bbch|stadium|stade', within: 'bbch|growth stage' },
    {
      role: 'happened',
      whole: 'happened|status|event|occurred|observed|censored',
      within: 'happened',
    },
    { role: 'days', whole: 'days to|time|days to event|days until', within: 'days to|days until' },
    {
      role: 'headingDate',
      whole: 'heading date|heading|headed on|date of heading',
      within: 'heading date',
    },
    {
      role: 'baseline',
      whole:
        'baseline|before|initial|base|pre|pre treatment|before treatment|vorher|avant|antes|prima',
    },
    {
      role: 'value',
      whole:
        'yield|weight|y|value|count|height|ertrag|gewicht|rendement|poids|rendimiento|peso|resa|rendimento|opbrengst|yld|final|decrease|marketable',
      within: 'yield|weight|height|ertrag|count|rendement|value|kg|grams|audpc',
    },
    {
      role: 'note',
      whole:
        'note|notes|comment|comments|remark|remarks|bemerkung|bemerkungen|remarque|observaciones|by|scorer',
    },
  ];

const wholes = new Map<string, Role>(
  known.flatMap(({ role, whole }) => whole.split('|').map((word): [string, Role] => [word, role])),
);

/** The role a heading names, and how surely; undefined for an unknown heading. */
export function roleOfHeading(heading: string): { role: Role; sure: boolean } | undefined {
  const plain = plainHeading(heading);
  const whole =
    wholes.get(plain) ??
    wholes.get(
      plain
        .replace(/\b(the|of|no|nr|number|per plant|pct|percent)\b/g, '')
        .replace(/ +/g, ' ')
        .trim(),
    );
  if (whole !== undefined) return { role: whole, sure: true };
  const padded = ` ${plain} `;
  // Severity, dates and headings speak more exactly than the words "leaves" or "score" beside them.
  const order: readonly Role[] = [
    'headingDate',
    'severity',
    'stripped',
    'lost',
    'diseased',
    'injury',
    'vigour',
    'stage',
  ];
  const ranked = [...known].sort((a, b) => rank(order, a.role) - rank(order, b.role));
  for (const { role, within } of ranked) {
    if (within?.split('|').some((word) => padded.includes(` ${word} `)))
      return { role, sure: false };
  }
  return undefined;
}

const rank = (order: readonly Role[], role: Role): number => {
  const at = order.indexOf(role);
  return at < 0 ? order.length : at;
};

/** True where a larger figure is plainly the better one: yield, weight, height, marketable heads. */
export const largerIsBetter = (name: string): boolean =>
  /yield|weight|marketable|height|ertrag|rendement|rendimiento|resa|opbrengst|healthy|grain|straw|\bkg\b|grams/.test(
    plainHeading(name),
  );
