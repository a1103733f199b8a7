/**
 * What somebody does to the archive beside its work, killed in the middle: the same command again must
 * come to its end, or say what stands in its way.
 */
import { existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { type AdminRun, admin } from './admin-run.js';
import type { Chance } from './chance.js';
import type { TrialKind } from './kinds.js';
import type { Rig } from './rig.js';

/** How long a command took that nobody killed; a kill comes at any moment of it. */
const usualMs = new Map<string, number>();
const FIRST_GUESS_MS = 1500;

const PASSPHRASE = { MULLION_BACKUP_PASSPHRASE: 'six panes of plain quarry glass' };

function run(rig: Rig, args: readonly string[], killAfterMs?: number): Promise<AdminRun> {
  return admin(args, { ...rig.homeEnv, ...PASSPHRASE }, killAfterMs);
}

async function killed(
  rig: Rig,
  name: string,
  args: readonly string[],
  dice: Chance,
  { words }: { words?: RegExp } = {},
): Promise<string[]> {
  const usual = usualMs.get(name) ?? FIRST_GUESS_MS;
  const { status, said } = await run(rig, args, Math.round(dice.next() * usual * 1.1));
  // it may have been done before the kill came, or have met what an earlier one left
  if (status === undefined || status === 0 || words?.test(said) === true) return [];
  return [`${name} ended with ${status}: ${said}`];
}

async function again(
  rig: Rig,
  name: string,
  args: readonly string[],
  { statuses = [0], words }: { statuses?: readonly number[]; words?: RegExp } = {},
): Promise<string[]> {
  const { status, said, ms } = await run(rig, args);
  const isNamed = words?.test(said) === true;
  if (statuses.includes(status ?? -1)) usualMs.set(name, ms);
  else if (!isNamed) return [`${name} again: ended with ${String(status)}: ${said}`];
  return [];
}

const SCRUB = ['scrub', '--repair'];
const OTHER_SCRUB = /Another scrub is at it.*two minutes/;

const backups = (rig: Rig) => join(rig.folder, 'backups');
const restored = (rig: Rig) => join(rig.folder, 'restored');

export const ADMIN: readonly TrialKind[] = [
  {
    name: 'backup killed',
    share: 2,
    strike: (rig, dice) => killed(rig, 'backup', ['backup', backups(rig)], dice),
    async mend(rig) {
      return [
        ...(await again(rig, 'backup', ['backup', backups(rig)])),
        ...(await again(rig, 'verify of the backup', ['backup', backups(rig), '--verify'])),
      ];
    },
  },
  {
    name: 'restore killed',
    share: 1,
    async strike(rig, dice) {
      const made = await again(rig, 'backup', ['backup', backups(rig)]);
      if (made.length > 0) return made;
      return killed(rig, 'restore', restoreArgs(rig), dice);
    },
    async mend(rig) {
      // a folder that is no archive yet must not open as one
      const isFinished = existsSync(join(restored(rig), 'home.json'));
      const wrong = isFinished ? [] : await again(rig, 'restore', restoreArgs(rig));
      wrong.push(...(await checkRestored(rig)));
      rmSync(restored(rig), { recursive: true, force: true });
      return wrong;
    },
  },
  {
    name: 'rebuild killed',
    share: 2,
    strike: (rig, dice) => killed(rig, 'rebuild', ['rebuild'], dice),
    mend: (rig) => again(rig, 'rebuild', ['rebuild']),
  },
  {
    name: 'scrub killed',
    share: 2,
    strike: (rig, dice) => killed(rig, 'scrub', SCRUB, dice, { words: OTHER_SCRUB }),
    mend: (rig) => again(rig, 'scrub', SCRUB, { words: OTHER_SCRUB }),
  },
  {
    name: 'move to a new key killed',
    share: 2,
    strike: (rig, dice) => killed(rig, 'key rotate', ['key', 'rotate'], dice),
    mend: (rig) => again(rig, 'key rotate', ['key', 'rotate']),
  },
];

const restoreArgs = (rig: Rig) => ['restore', backups(rig), '--home', restored(rig)];

/** Every entry, object and row of the restored archive, with a database of its own. */
async function checkRestored(rig: Rig): Promise<string[]> {
  const { status, said } = await admin(['check', '--home', restored(rig)], {});
  // 3: consistent with itself; no fingerprint was given
  return status === 3 ? [] : [`check of what was restored ended with ${String(status)}: ${said}`];
}
