// One thread's share of the simulated trials: see trials.ts.
import { parentPort, workerData } from 'node:worker_threads';
import { newTester, runTrials, type Scenario } from './trials-run';

const { scenario, rounds } = workerData as { scenario: Scenario; rounds: number };
const tester = newTester();
runTrials(scenario, tester);
parentPort?.once('message', () => {
  for (let round = 0; round < rounds; round++) runTrials(scenario, tester);
  parentPort?.postMessage('done');
});
parentPort?.postMessage('ready');
