// The budget of the app's first load: the JavaScript that index.html asks for, with what those
// files import at once (lazy chunks and the worker apart), gzipped.
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { gzipSync } from 'node:zlib';

const budget = 220_000;
const dist = 'app/dist';
const html = readFileSync(join(dist, 'index.html'), 'utf8');
const queue = [...html.matchAll(/(?:src|href)="([^"]+\.js)"/g)].map((match) =>
  join(dist, match[1].replace(/^\//, '')),
);
const seen = new Map();
while (queue.length > 0) {
  const file = queue.pop();
  if (seen.has(file)) continue;
  const text = readFileSync(file, 'utf8');
  seen.set(file, gzipSync(text, { level: 9 }).length);
  for (const [, path] of text.matchAll(
    /(?:^|[;}\s])(?:import|export)\s*(?:[\w*{}\s,$]+from\s*)?["'](\.[^"']+\.js)["']/g,
  )) {
    queue.push(join(dirname(file), path));
  }
}
const total = [...seen.values()].reduce((sum, bytes) => sum + bytes, 0);
for (const [file, bytes] of seen)
  process.stdout.write(`${(bytes / 1000).toFixed(1).padStart(7)} kB  ${file}\n`);
process.stdout.write(
  `${(total / 1000).toFixed(1).padStart(7)} kB  first load, gzip; at most ${budget / 1000} kB\n`,
);
process.exit(total <= budget ? 0 : 1);
