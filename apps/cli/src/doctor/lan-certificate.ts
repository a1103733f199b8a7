import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { certificateInUse, checkServerCertificate, lanAddresses } from '#libs/tls';
import type { DoctorCheck } from './check.js';

/** Where `npm start -- --lan` was used: whether phones can trust what it serves. */
export const lanCertificate: DoctorCheck = {
  name: 'phones’ certificate',
  async run({ homePath }) {
    const found = await certificateInUse(homePath);
    if (found === undefined)
      return { state: 'good', says: 'none: the archive was never opened to phones (--lan)' };
    for (const name of ['authority-key.pem', 'server-key.pem']) {
      const path = join(homePath, 'lan', name);
      if (((await stat(path)).mode & 0o077) !== 0) {
        return {
          state: 'bad',
          says: `others on this machine may read the key ${path}`,
          doThis: `remove the folder ${join(homePath, 'lan')}, start with --lan again, and trust the new certificate on each phone`,
        };
      }
    }
    const addresses = lanAddresses(process.env['MULLION_LAN_ADDRESSES']).map(
      ({ address }) => address,
    );
    const verdict = await checkServerCertificate(
      found.leafPem,
      found.authorityPem,
      addresses,
      new Date(),
    );
    if (verdict.isGood) return { state: 'good', says: verdict.says };
    return {
      state: 'look',
      says: verdict.says,
      doThis: 'start with npm start -- --lan: what is old or for other addresses is made anew',
    };
  },
};
