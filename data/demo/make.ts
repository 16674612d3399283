import { writeFileSync } from 'node:fs';
import { demoFiles } from './files';

// `npm run demo`: writes the invented trials anew. The same seed makes the same files.
for (const [name, text] of demoFiles()) {
  writeFileSync(new URL(name, import.meta.url), text);
  console.log(`data/demo/${name}: ${text.split('\n').length - 1} lines`);
}
