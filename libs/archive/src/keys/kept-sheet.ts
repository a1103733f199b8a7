/**
 * The words of a recovery sheet between being made and being printed: a file of the home that only its
 * owner may read, destroyed as soon as two words of the printed sheet were typed back.
 */
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { writePrivateFile } from '#libs/db';
import { fingerprintOf } from '#libs/ledger';
import type { Successor } from './announcement.js';
import {
  newRecoveryWords,
  publicBytesOf,
  RECOVERY_WORDS,
  recoveryKeysFromWords,
} from './recovery-words.js';

const fileSchema = z.object({
  format: z.literal('mullion-recovery-sheet'),
  version: z.literal(1),
  madeAt: z.iso.datetime(),
  words: z.array(z.string()).length(RECOVERY_WORDS),
});

export interface KeptSheet {
  readonly words: readonly string[];
  readonly successor: Successor;
  /** of the successor's key */
  readonly fingerprint: string;
  readonly madeAt: Date;
}

/** @returns undefined when no words are kept */
export function keptSheet(home: string): KeptSheet | undefined {
  const path = sheetPath(home);
  if (!existsSync(path)) return undefined;
  const { words, madeAt } = fileSchema.parse(JSON.parse(readFileSync(path, 'utf8')));
  return sheetOf(words, new Date(madeAt));
}

/** New words, on the disk before this returns; words kept before are replaced. */
export function makeSheet(home: string, now: Date): KeptSheet {
  const words = newRecoveryWords();
  const file = { format: 'mullion-recovery-sheet', version: 1, madeAt: now.toISOString(), words };
  writePrivateFile(sheetPath(home), `${JSON.stringify(file)}\n`);
  return sheetOf(words, now);
}

export function destroySheet(home: string): void {
  rmSync(sheetPath(home), { force: true });
}

function sheetPath(home: string): string {
  return join(home, 'recovery-sheet.json');
}

function sheetOf(words: readonly string[], madeAt: Date): KeptSheet {
  const { signing, sealing } = recoveryKeysFromWords(words);
  const successor = { publicKey: publicBytesOf(signing), sealing: publicBytesOf(sealing) };
  return { words, successor, fingerprint: fingerprintOf(successor.publicKey), madeAt };
}
