import { expose, transfer } from 'comlink';
import { reencode, type Reencoded } from './reencode';

const darkroom = {
  async reencode(picture: Blob): Promise<Reencoded> {
    const made = await reencode(picture);
    return transfer(made, [made.bytes]);
  },
};

export type Darkroom = typeof darkroom;

expose(darkroom);
