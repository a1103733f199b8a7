import { readFile, stat } from 'node:fs/promises';
import { keysOfArchive, signerFromPem, Tx } from '#libs/archive';
import type { DoctorCheck } from './check.js';

export const archiveKey: DoctorCheck = {
  name: 'archive key',
  async run({ config: { keyFile }, pool }) {
    const pem = await readFile(keyFile).catch(() => undefined);
    if (pem === undefined) {
      return {
        state: 'bad',
        says: `there is no key at ${keyFile}: nothing can be signed`,
        doThis:
          'put it back from a backup, or see mullion admin key recover with the recovery sheet',
      };
    }
    const { fingerprint } = signerFromPem(pem);
    const { mode } = await stat(keyFile);
    if ((mode & 0o077) !== 0) {
      return {
        state: 'bad',
        says: `others on this machine may read the key ${keyFile}`,
        doThis: `chmod 600 ${keyFile}; if somebody may have read it, change the key`,
      };
    }
    const inForce = (await keysOfArchive(new Tx(pool))).keys.at(-1)?.fingerprint;
    if (inForce !== undefined && inForce !== fingerprint) {
      return {
        state: 'bad',
        says: `${keyFile} holds ${fingerprint}, but the key in force is ${inForce}: nothing can be signed`,
        doThis: 'put the key in force there from a backup, or see mullion admin key recover',
      };
    }
    return { state: 'good', says: `its fingerprint is ${fingerprint}` };
  },
};
