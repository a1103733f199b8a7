/**
 * The commands about the archive's key as a keeper runs them: processes with words piped in. The sentence
 * "changed without the old key at entry N" is the one that architecture and README promise.
 */
import { readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { type HomeArchive, serveHome } from '../support/home-archive.js';
import { keptWords } from '../support/kept-words.js';
import { mullion } from '../support/run-command.js';
import { makeSetBack, type SetBack } from '../support/set-back.js';

/** RFC 8032 section 7.1, test 2: the fingerprint of a published key, of no archive. */
const STRANGER = 'SWX8-7RPY-4XTP-MH48-8N6S-VR43-MY9R';

let set: SetBack;
let words: string[];
let print: string;

beforeAll(async () => {
  set = await makeSetBack();
  words = await keptWords(set.keeper);
  print = await fingerprintOf(set.first);
}, 180_000);
afterAll(() => set.close());

async function fingerprintOf(archive: HomeArchive): Promise<string> {
  const { body } = await set.keeperOf(archive).get('/v1/state').expect(200);
  return (body as { archive: { fingerprint: string } }).archive.fingerprint;
}

const admin = (home: string, args: readonly string[], input = '') =>
  mullion(['admin', ...args, '--home', set.at(home)], { input });

const check = (home: string, fingerprint: string) =>
  admin(home, ['check', '--objects', 'none', '--fingerprint', fingerprint]);

function expectSheet(path: string): void {
  expect(readFileSync(path).subarray(0, 5).toString()).toBe('%PDF-');
  expect(statSync(path).mode & 0o777).toBe(0o600);
}

describe('mullion admin recovery-sheet', () => {
  it('writes the sheet that nobody else may read, the same one again', async () => {
    const run = await admin('home', ['recovery-sheet', '--sheet', set.at('sheet.pdf')]);
    expect(run).toMatchObject({ status: 0 });
    expect(run.out).toContain(set.at('sheet.pdf'));
    expect(run.out + run.err).not.toContain(words[0]!);
    expectSheet(set.at('sheet.pdf'));
    expect(await keptWords(set.keeper)).toEqual(words);
  }, 60_000);

  it('says which word is mistyped, and destroys nothing by words of another sheet', async () => {
    const mistyped = words.with(4, 'herron').join(' ');
    const wrong = await admin('home', ['recovery-sheet', '--kept'], mistyped);
    expect([wrong.status, wrong.err]).toEqual([1, expect.stringMatching(/[Ww]ord 5|herron/)]);
    expect(await keptWords(set.keeper)).toEqual(words);
  }, 60_000);
});

describe('mullion admin restore --words', () => {
  it('opens the backup whose passphrase is lost', async () => {
    const restore = (to: string, input: string) =>
      mullion(['admin', 'restore', set.at('disk'), '--home', set.at(to), '--words'], { input });
    const mistyped = await restore('never', words.with(0, 'herron').join(' '));
    expect(mistyped.status).toBe(1);
    expect(mistyped.err).toMatch(/[Ww]ord 1|herron/);
    const lost = await mullion(['admin', 'restore', set.at('disk'), '--home', set.at('never')], {
      env: { MULLION_BACKUP_PASSPHRASE: 'a passphrase that was never this one' },
    });
    expect([lost.status, lost.err]).toEqual([1, expect.stringContaining('--words')]);
    const restored = await restore(
      'worded',
      `${words.slice(0, 12).join(' ')}\n${words.slice(12).join('\n')}\n`,
    );
    expect(restored).toMatchObject({ status: 0 });
    expect(restored.out).toContain(print);
    expect(await check('worded', print)).toMatchObject({ status: 0 });
  }, 180_000);

  it('and the same words then replace a key that is lost: every check says so', async () => {
    const recover = (input: string, ...more: string[]) =>
      admin('worded', ['key', 'recover', '--sheet', set.at('next.pdf'), ...more], input);
    const held = await recover(words.join(' '));
    expect(held.status).toBe(1); // the key is there: nothing has to be changed
    loseKey('worded');
    const refused = await recover(words.toReversed().join(' '));
    expect(refused.status).toBe(1);
    const run = await recover(words.join(' '));
    expect(run).toMatchObject({ status: 0 });
    const [, entry] = /; (entry \d+) of the studio's/.exec(run.out)!;
    expect(run.out).toContain(print);
    expectSheet(set.at('next.pdf'));
    const now = /key now +(\S+)/.exec(run.out)![1]!;
    expect(now).not.toBe(print);
    for (const known of [print, now]) {
      const said = await check('worded', known);
      expect([said.status, said.out]).toEqual([
        0,
        expect.stringContaining(
          `changed without the old key at ${entry!}, by the key announced at`,
        ),
      ]);
    }
    expect((await check('worded', STRANGER)).status).toBe(4);
    const archive = await serveHome(set.at('worded'));
    try {
      expect(await fingerprintOf(archive)).toBe(now);
      await set.describeSite(set.keeperOf(archive), 'Signed by the new key');
    } finally {
      await archive.close();
    }
    // the sheet is used up: its words are not those of the archive any more
    loseKey('worded');
    const used = await recover(words.join(' '));
    expect([used.status, used.err]).toEqual([1, expect.stringContaining('another sheet')]);
  }, 240_000);

  it('and without any words nothing ties the new key to the old, which is said', async () => {
    const run = await admin('worded', [
      'key',
      'recover',
      '--without-any-key',
      '--sheet',
      set.at('last.pdf'),
    ]);
    expect(run).toMatchObject({ status: 0 });
    expect(run.out).toContain('NOBODY KNOWN');
    const said = await check('worded', print);
    expect([said.status, said.out]).toEqual([
      3,
      expect.stringMatching(
        /changed without the old key at entry \d+, and not by an announced key/,
      ),
    ]);
  }, 120_000);
});

describe('mullion admin key rotate', () => {
  it('hands the archive on while it works; what was signed before stays verified', async () => {
    const run = await admin('home', ['key', 'rotate']);
    expect(run).toMatchObject({ status: 0 });
    const now = await fingerprintOf(set.first);
    expect(run.out).toContain(`key before ${print}`);
    expect(run.out).toContain(`key now    ${now}`);
    expect(now).not.toBe(print);
    await set.describeSite(set.keeperOf(set.first), 'After the change');
    expect(readdirSync(set.at('home')).filter((name) => name.includes(print))).toHaveLength(1);
    for (const known of [print, now]) {
      const said = await check('home', known);
      expect([said.status, said.out]).toEqual([
        0,
        expect.stringContaining('signed by the key before it'),
      ]);
    }
  }, 120_000);

  it('and the words that are printed are destroyed here once they are typed back', async () => {
    const kept = ['recovery-sheet', '--kept'];
    const current = await keptWords(set.keeper);
    expect(await admin('home', kept, current.join(' '))).toMatchObject({ status: 0 });
    const again = await admin('home', kept, current.join(' '));
    expect([again.status, again.err]).toEqual([1, expect.stringContaining('No words lie here')]);
    // a new sheet makes the one before void
    const fresh = await admin('home', ['recovery-sheet', '--sheet', set.at('fresh.pdf')]);
    expect(fresh.out).toContain('earlier sheets are void');
    expect(await keptWords(set.keeper)).not.toEqual(current);
  }, 120_000);
});

/** As a burnt disk would: every key file is gone. */
function loseKey(home: string): void {
  for (const name of readdirSync(set.at(home))) {
    if (/^archive-key.*\.pem$/.test(name)) rmSync(set.at(`${home}/${name}`));
  }
}
