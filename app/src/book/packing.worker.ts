import { expose, transfer } from 'comlink';
import { type PackOrder, packed, unpacked } from './packing';

const packer = {
  async packed(order: PackOrder) {
    const made = await packed(order);
    return transfer(made, [made.bytes.buffer]);
  },
  unpacked,
};

export type Packer = typeof packer;

expose(packer);
