/** An archive, its backup, and three entries that the backup does not know: what a restore sets back. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Person } from './api-archive.js';
import { type HomeArchive, serveHome } from './home-archive.js';
import { addSite, type Client, firstKeeper } from './media-archive.js';
import { type CommandRun, mullion } from './run-command.js';

export const PASSPHRASE = { env: { MULLION_BACKUP_PASSPHRASE: 'five quarries under the ivy' } };

export interface SetBack {
  /** path below the test's folder: `home` is the archive, `disk` its backup */
  at(name: string): string;
  readonly first: HomeArchive;
  readonly keeper: Client;
  readonly siteId: string;
  /** newest checkpoint of the site, over three entries more than the backup holds */
  readonly known: string;
  readonly versionBefore: number;
  /** the keeper, signed in also at archives that came from the backup */
  keeperOf(archive: HomeArchive): Person;
  /** @returns the version of the site after it */
  describeSite(person: Person, name: string): Promise<number>;
  /** `mullion admin restore` of the backup into the folder of that name */
  restore(to: string, ...more: string[]): Promise<CommandRun>;
  close(): Promise<void>;
}

export async function makeSetBack(): Promise<SetBack> {
  const folder = mkdtempSync(join(tmpdir(), 'mullion-set-back-'));
  const at = (name: string): string => join(folder, name);
  const first = await serveHome(at('home'));
  const keeper = await firstKeeper(first.url);
  const { siteId } = await addSite(keeper);
  const keeperOf = ({ url }: HomeArchive) => new Person(url, { Cookie: keeper.cookie });
  const describeSite = async (person: Person, name: string): Promise<number> => {
    const { body } = await person.get(`/v1/sites/${siteId}`).expect(200);
    const { version } = body as { version: number };
    const done = await person
      .put(`/v1/sites/${siteId}`, { name, place: null }, { 'If-Match': `"${version}"` })
      .expect(200);
    return (done.body as { version: number }).version;
  };
  const made = await mullion(['admin', 'backup', at('disk'), '--home', at('home')], PASSPHRASE);
  if (made.status !== 0) throw new Error(made.err);
  let versionBefore = 0;
  for (const name of ['One', 'Two', 'Three']) {
    versionBefore = await describeSite(keeperOf(first), name);
  }
  const known = await (await keeper.fetch(`/v1/logs/${siteId}/checkpoint`)).text();
  return {
    at,
    first,
    keeper,
    siteId,
    known,
    versionBefore,
    keeperOf,
    describeSite,
    restore: (to, ...more) =>
      mullion(['admin', 'restore', at('disk'), '--home', at(to), ...more], PASSPHRASE),
    async close() {
      await first.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
