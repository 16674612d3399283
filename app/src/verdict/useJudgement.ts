import type { Judgement } from '@fairbed/verdict';
import { useEffect, useRef, useState } from 'react';
import { type Ask, plainly, quickly } from '../work/ask';
import type { Held, LookChoice } from '../work/desk';
import { answerNow, judgeAhead, judgeTrial, looksOf } from '../work/trials';
import { type Work, useWork } from '../work/useWork';

/** The last answer stays on show until the next is there, so that nothing jumps. */
function useLast(now: Judgement | undefined): Judgement | undefined {
  // No state: keeping the answer draws nothing by itself.
  const last = useRef<Judgement>(undefined);
  if (now) last.current = now;
  return now ?? last.current;
}

const valueOf = (work: Work<Judgement>): Judgement | undefined =>
  work.state === 'done' ? work.value : undefined;

const useAsked = (id: string, ask: Ask, key: string | undefined): Work<Judgement> =>
  useWork(
    key,
    (report) => judgeTrial(id, ask, report),
    () => answerNow(id, ask),
  );

/**
 * The verdict first, then the figures of the plots, then the models of leaves and grades, which
 * take longest. `judgement` is the fullest answer there is; `proof` has the figures for all charts; of
 * this question once it is `proven`, of the one before until then.
 */
export function useJudgement(id: string, ask: Ask, turn: string) {
  const key = `${JSON.stringify(ask)} ${turn}`;
  const quick = useAsked(id, quickly(ask), key);
  const plain = useAsked(id, plainly(ask), quick.state === 'done' ? key : undefined);
  const whole = useAsked(id, ask, plain.state === 'done' ? key : undefined);
  const verdict = valueOf(quick);
  const figures = valueOf(whole) ?? valueOf(plain);
  const judgement = useLast(figures ?? verdict);
  const proof = useLast(figures);
  const work = [quick, plain, whole].find(({ state }) => state !== 'done') ?? whole;
  return { verdict, judgement, proof, proven: figures !== undefined, work };
}

/** The rounds after which the trial can be judged; asked for once there is an answer. */
export function useRounds(id: string, held: Held, answered: boolean): readonly LookChoice[] {
  const [rounds, setRounds] = useState<readonly LookChoice[]>([]);
  useEffect(() => {
    if (!answered) return undefined;
    let current = true;
    looksOf(id).then(
      (looks) => {
        if (current) setRounds(looks);
      },
      // Without them there is no choice of a look; the answer itself stands.
      () => undefined,
    );
    return () => {
      current = false;
    };
  }, [id, held, answered]);
  return rounds;
}

/** Rest after the last figures (milliseconds) before anything is worked out unasked. */
const restBefore = 250;

/** Works out what may be asked next, once all that was asked is there. */
export function useWorkAhead(
  id: string,
  asks: () => readonly Ask[],
  key: string | undefined,
): void {
  const latest = useRef(asks);
  latest.current = asks;
  useEffect(() => {
    if (key === undefined || navigator.hardwareConcurrency < 2) return undefined;
    const timer = setTimeout(() => judgeAhead(id, latest.current()), restBefore);
    return () => clearTimeout(timer);
  }, [id, key]);
}
