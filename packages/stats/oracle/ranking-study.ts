// Chances of ranking by a long chain, to check src/bayes where R's answers are silent. Writes
// ranking.json: npx tsx packages/stats/oracle/ranking-study.ts (some minutes).
import { writeFileSync } from 'node:fs';
import { createRandom } from '../src/random';
import { RANKING_CASES } from './ranking-cases';
import { runChain } from './ranking-chain';

const SWEEPS = 1_000_000;
const BURN = 20_000;
const WORTH_HAVING = 0.3;

const answers = RANKING_CASES.map((one, k) => {
  const random = createRandom(20261125 + k);
  const answer = runChain(
    { ...one, worthHaving: WORTH_HAVING, sweeps: SWEEPS, burn: BURN },
    random,
  );
  console.log(one.name, JSON.stringify(answer));
  return { name: one.name, ...answer };
});
const text = JSON.stringify(
  {
    name: 'ranking',
    made_by: `ranking-study.ts: random-walk chain, ${SWEEPS} sweeps, seed 20261125 and on; errors are standard errors of 50 batches`,
    worthHaving: WORTH_HAVING,
    expected: { cases: answers },
  },
  undefined,
  1,
);
writeFileSync(new URL('ranking.json', import.meta.url), `${text}\n`);
