import { fileWords } from './file-words';
import { packageWords } from './package-words';
import { rowWords } from './row-words';

/** Every sentence of this room that a grower reads, by code. */
export const words = { ...fileWords, ...rowWords, ...packageWords };
