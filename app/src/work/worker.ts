import { expose } from 'comlink';
import { beginWith, desk } from './desk';
import { firstOf } from './first';

const first = firstOf(self.name);
if (first) beginWith(first);
expose(desk);
