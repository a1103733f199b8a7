/**
 * What one generation of a backup holds: a JSON text that names everything by digest, and a signed
 * note over its digest. The note is written last, so that a run cut short is never taken for a backup.
 */
import { createHash } from 'node:crypto';
import { z } from 'zod';
import { canonicalBytes, openNote, parseCanonical, signNote, verifierKey } from '#libs/ledger';
import type { ArchiveSigner } from '../signer.js';
import { sealedPartSchema } from './sealed-part.js';

export const FORMAT_VERSION = 1;

const digest = z.string().regex(/^sha256:[0-9a-f]{64}$/);
const count = z.int().min(0);
const chunkList = z.array(z.strictObject({ digest, sizeBytes: count }));
const rowsOfTable = z.strictObject({
  schema: z.string(),
  name: z.string(),
  columns: z.array(z.string()),
  rows: count,
  /** SHA-256 of all rows as COPY writes them */
  digest,
});

export const manifestSchema = z.strictObject({
  format: z.literal('mullion-backup'),
  version: z.literal(FORMAT_VERSION),
  /** whole: with objects and keys; database: a copy beside the home before its tables change */
  scope: z.enum(['whole', 'database']),
  generation: z.string(),
  madeAt: z.iso.datetime(),
  program: z.string(),
  archiveId: z.string(),
  isDemo: z.boolean(),
  /** raw Ed25519, base64: whose signature the note carries */
  publicKey: z.base64(),
  migrations: z.array(z.string()),
  logs: z.array(
    z.strictObject({
      logId: z.string(),
      origin: z.string(),
      size: count,
      /** newest signed head; null for a log without entries */
      checkpoint: z.string().nullable(),
    }),
  ),
  history: z.array(rowsOfTable.extend({ chunks: chunkList })),
  projections: z.array(rowsOfTable),
  /** chunks of lines `digest size`; absent: what the archive's own store had lost by then */
  objects: z.strictObject({
    count,
    sizeBytes: count,
    lists: chunkList,
    absent: z.array(z.strictObject({ digest, why: z.enum(['missing', 'damaged']) })),
  }),
  sealed: sealedPartSchema,
});
export type Manifest = z.infer<typeof manifestSchema>;

export class BackupFault extends Error {
  override readonly name = 'BackupFault';
}

export function manifestBytes(manifest: Manifest): Uint8Array {
  return canonicalBytes(manifest);
}

/** @throws BackupFault naming what does not fit */
export function parseManifest(bytes: Uint8Array, where: string): Manifest {
  let value: unknown;
  try {
    value = parseCanonical(bytes);
  } catch (cause) {
    throw new BackupFault(`${where} is damaged: it cannot be read as a manifest.`, { cause });
  }
  const version = (value as { version?: unknown }).version;
  if (typeof version === 'number' && version > FORMAT_VERSION) {
    throw new BackupFault(`${where} was written by a newer Mullion. Update the program.`);
  }
  const parsed = manifestSchema.safeParse(value);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  throw new BackupFault(
    `${where} is no manifest of a backup (${issue?.path.join('.')}: ${issue?.message}).`,
  );
}

/** The note that makes a generation count. */
export function signManifest(manifest: Manifest, bytes: Uint8Array, signer: ArchiveSigner) {
  return signNote(noteText(manifest, bytes), {
    name: keyName(manifest.archiveId),
    publicKey: signer.publicKey,
    sign: (message) => signer.sign(message),
  });
}

/** @throws BackupFault when note and manifest do not belong together or the signature is wrong */
export function checkSignature(manifest: Manifest, bytes: Uint8Array, note: string): void {
  const key = verifierKey(
    keyName(manifest.archiveId),
    new Uint8Array(Buffer.from(manifest.publicKey, 'base64')),
  );
  let text: string | undefined;
  try {
    const opened = openNote(note, [key]);
    if (opened.verified.length > 0 && opened.failed.length === 0) text = opened.text;
  } catch {
    // told below
  }
  if (text === noteText(manifest, bytes)) return;
  throw new BackupFault(
    `The manifest of generation ${manifest.generation} was changed: its signature does not fit.`,
  );
}

function noteText({ archiveId, generation }: Manifest, bytes: Uint8Array): string {
  const hash = createHash('sha256').update(bytes).digest('hex');
  return `mullion backup of ${archiveId}\n${generation}\nsha256:${hash}\n`;
}

function keyName(archiveId: string): string {
  return `mullion/${archiveId}/backup`;
}
