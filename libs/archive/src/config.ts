/** Configuration of server and worker, read from the environment once at start. */
import { homedir } from 'node:os';
import { join } from 'node:path';
import { z } from 'zod';
import type { S3Access } from '#libs/objects';
import { type OutsideConfig, witnessPlaces } from './outside/outside-config.js';

const flag = z
  .enum(['0', '1', 'true', 'false', ''])
  .default('0')
  .transform((text) => text === '1' || text === 'true');
const bytes = z.coerce.number().int().positive();
const days = z.coerce.number().positive();
const storePlace = z
  .string()
  .regex(/^(file:.+|s3:\/\/.+)$/, 'expected file:<folder> or s3://<bucket>?endpoint=<url>');

const environment = z.object({
  DATABASE_URL: z.string().min(1, 'name the PostgreSQL database, as the application role'),
  MULLION_HOME: z.string().min(1).optional(),
  MULLION_PORT: z.coerce.number().int().min(0).max(65_535).default(4173),
  MULLION_HOST: z.string().min(1).default('127.0.0.1'),
  MULLION_DEMO: flag,
  MULLION_ONE_TIME_TOKEN_DIGEST: z
    .string()
    .regex(/^[0-9a-f]{64}$/, 'expected SHA-256 as 64 lower-case hexadecimal digits')
    .optional(),
  MULLION_OBJECTS: storePlace.optional(),
  MULLION_OBJECTS_REPLICA: storePlace.optional(),
  MULLION_RETAIN_CHECKPOINTS_DAYS: days.optional(),
  MULLION_RETAIN_ORIGINALS_DAYS: days.optional(),
  MULLION_S3_ACCESS_KEY: z.string().optional(),
  MULLION_S3_SECRET_KEY: z.string().optional(),
  MULLION_S3_REPLICA_ACCESS_KEY: z.string().optional(),
  MULLION_S3_REPLICA_SECRET_KEY: z.string().optional(),
  MULLION_SCRUB_MB_PER_S: z.coerce.number().min(0).default(4),
  MULLION_SCRUB_EVERY_DAYS: days.default(30),
  MULLION_KEY_FILE: z.string().optional(),
  MULLION_WITNESS_NAME: z
    .string()
    .regex(/^[^\s+]{1,255}$/, 'expected a name without spaces and +, e.g. archive.example/witness')
    .optional(),
  MULLION_WITNESS_KEY_FILE: z.string().optional(),
  MULLION_WITNESSES: witnessPlaces.optional(),
  MULLION_WITNESS_MINUTES: z.coerce.number().positive().default(10),
  MULLION_TIME_AUTHORITY: z.url().optional(),
  MULLION_TIME_AUTHORITY_CA: z.string().optional(),
  MULLION_TIME_HOURS: z.coerce.number().positive().default(24),
  MULLION_BACKUP_TO: z.string().min(1).optional(),
  MULLION_BACKUP_EVERY_HOURS: z.coerce.number().positive().default(24),
  MULLION_BACKUP_S3_ACCESS_KEY: z.string().optional(),
  MULLION_BACKUP_S3_SECRET_KEY: z.string().optional(),
  MULLION_MAX_UPLOAD_BYTES: bytes.default(2 * 1024 ** 3),
  MULLION_MAX_PIXELS: bytes.default(200_000_000),
  MULLION_MAX_FRAMES: bytes.default(1),
  MULLION_STUDIO_DIR: z.string().optional(),
  MULLION_PUBLIC_URL: z.url().optional(),
  MULLION_SECURE_COOKIES: flag,
  MULLION_LAN: flag,
  MULLION_LAN_ADDRESSES: z.string().optional(),
  MULLION_LAN_PORT: z.coerce.number().int().min(0).max(65_534).optional(),
  MULLION_TLS_CERT: z.string().min(1).optional(),
  MULLION_TLS_KEY: z.string().min(1).optional(),
  MULLION_BEHIND_PROXY: flag,
  MULLION_PLAIN_HTTP_BEYOND_THIS_MACHINE: flag,
});

export interface MullionConfig {
  readonly databaseUrl: string;
  readonly home: string;
  readonly port: number;
  readonly host: string;
  readonly isDemo: boolean;
  /** SHA-256 of the sign-in token that start printed, hex */
  readonly oneTimeTokenDigest: string | undefined;
  /** `file:<folder>` or `s3://<bucket>?endpoint=<url>` */
  readonly objects: string;
  readonly s3: S3Access | undefined;
  /** a second place, written in one go with the first */
  readonly objectsReplica: string | undefined;
  readonly s3Replica: S3Access | undefined;
  /** how fast objects are read again at leisure (0: never), and how often all of them */
  readonly scrub: { readonly mbPerS: number; readonly everyMs: number };
  /** how long nobody can replace or remove a checkpoint's copy in the store; undefined: no such time */
  readonly retainCheckpointsMs: number | undefined;
  /** Ed25519 private key, PKCS #8 PEM */
  readonly keyFile: string;
  /** this archive as a witness for others; undefined: it is none */
  readonly witness: { readonly name: string; readonly keyFile: string } | undefined;
  /** who is asked to remember this archive's checkpoints */
  readonly outside: OutsideConfig;
  /** where backups go by themselves; undefined: they are made by hand */
  readonly backups: BackupPlan | undefined;
  readonly maxUploadBytes: number;
  readonly maxPixels: number;
  readonly maxFrames: number;
  readonly studioDir: string | undefined;
  readonly publicUrl: string | undefined;
  readonly hasSecureCookies: boolean;
  /** phones on the workshop's network reach this archive over TLS; undefined: this machine only */
  readonly lan: LanPlan | undefined;
  /** a proxy with TLS stands in front: what it says of the caller is believed */
  readonly isBehindProxy: boolean;
  /** forced by somebody who was told what it means */
  readonly allowsPlainHttp: boolean;
}

export interface LanPlan {
  /** comma-separated; undefined: every private address of this machine */
  readonly addresses: string | undefined;
  /** for TLS; the plain page that hands out the certificate listens on the next one */
  readonly port: number;
  /** a certificate of one's own, PEM files; undefined: the workshop's own authority makes one */
  readonly files: { readonly certFile: string; readonly keyFile: string } | undefined;
}

export interface BackupPlan {
  /** a folder, or `s3://<bucket>?endpoint=<url>` */
  readonly to: string;
  readonly everyMs: number;
  readonly s3: S3Access | undefined;
}

const DAY_MS = 24 * 60 * 60 * 1000;

function inMs(days: number | undefined): number | undefined {
  return days === undefined ? undefined : days * DAY_MS;
}

/** Names the variables that {@link readConfig} reads, for checks of deployment files. */
export const CONFIG_VARIABLES: readonly string[] = Object.keys(environment.shape);

/** @throws Error naming every variable that does not fit and what fits */
export function readConfig(env: Readonly<Record<string, string | undefined>>): MullionConfig {
  const result = environment.safeParse(env);
  if (!result.success) {
    const lines = result.error.issues.map((issue) => `  ${issue.path.join('.')}: ${issue.message}`);
    throw new Error(`The configuration does not fit:\n${lines.join('\n')}`);
  }
  const v = result.data;
  const retainCheckpointsMs = inMs(v.MULLION_RETAIN_CHECKPOINTS_DAYS);
  const retainOriginalsMs = inMs(v.MULLION_RETAIN_ORIGINALS_DAYS);
  const home = v.MULLION_HOME ?? join(homedir(), '.local', 'share', 'mullion');
  const s3Access = (accessKey: string | undefined, secretKey: string | undefined) =>
    accessKey === undefined || secretKey === undefined
      ? undefined
      : {
          accessKey,
          secretKey,
          spoolFolder: join(home, 'spool'),
          needsLock: retainCheckpointsMs !== undefined || retainOriginalsMs !== undefined,
          ...(retainOriginalsMs === undefined ? {} : { retainOriginalsMs }),
        };
  return {
    databaseUrl: v.DATABASE_URL,
    home,
    port: v.MULLION_PORT,
    host: v.MULLION_HOST,
    isDemo: v.MULLION_DEMO,
    oneTimeTokenDigest: v.MULLION_ONE_TIME_TOKEN_DIGEST,
    objects: v.MULLION_OBJECTS ?? `file:${join(home, 'objects')}`,
    s3: s3Access(v.MULLION_S3_ACCESS_KEY, v.MULLION_S3_SECRET_KEY),
    objectsReplica: v.MULLION_OBJECTS_REPLICA,
    s3Replica: s3Access(
      v.MULLION_S3_REPLICA_ACCESS_KEY ?? v.MULLION_S3_ACCESS_KEY,
      v.MULLION_S3_REPLICA_SECRET_KEY ?? v.MULLION_S3_SECRET_KEY,
    ),
    scrub: { mbPerS: v.MULLION_SCRUB_MB_PER_S, everyMs: v.MULLION_SCRUB_EVERY_DAYS * DAY_MS },
    retainCheckpointsMs,
    keyFile: v.MULLION_KEY_FILE ?? join(home, 'archive-key.pem'),
    witness:
      v.MULLION_WITNESS_NAME === undefined
        ? undefined
        : {
            name: v.MULLION_WITNESS_NAME,
            keyFile: v.MULLION_WITNESS_KEY_FILE ?? join(home, 'witness-key.pem'),
          },
    outside: {
      witnesses: v.MULLION_WITNESSES ?? [],
      witnessEveryMs: v.MULLION_WITNESS_MINUTES * 60_000,
      timeAuthority:
        v.MULLION_TIME_AUTHORITY === undefined
          ? undefined
          : { url: v.MULLION_TIME_AUTHORITY, caFile: v.MULLION_TIME_AUTHORITY_CA },
      timeEveryMs: v.MULLION_TIME_HOURS * 3_600_000,
    },
    backups: backupPlan(v, home),
    maxUploadBytes: v.MULLION_MAX_UPLOAD_BYTES,
    maxPixels: v.MULLION_MAX_PIXELS,
    maxFrames: v.MULLION_MAX_FRAMES,
    studioDir: v.MULLION_STUDIO_DIR,
    publicUrl: v.MULLION_PUBLIC_URL,
    hasSecureCookies: v.MULLION_SECURE_COOKIES,
    lan: v.MULLION_LAN ? lanPlan(v) : undefined,
    isBehindProxy: v.MULLION_BEHIND_PROXY,
    allowsPlainHttp: v.MULLION_PLAIN_HTTP_BEYOND_THIS_MACHINE,
  };
}

/** @throws Error when only one half of a certificate is named */
function lanPlan(v: z.output<typeof environment>): LanPlan {
  const { MULLION_TLS_CERT: certFile, MULLION_TLS_KEY: keyFile } = v;
  if ((certFile === undefined) !== (keyFile === undefined)) {
    throw new Error(
      'MULLION_TLS_CERT and MULLION_TLS_KEY belong together: name both files, or neither.',
    );
  }
  return {
    addresses: v.MULLION_LAN_ADDRESSES,
    // a port of the system's choosing stays one
    port: v.MULLION_LAN_PORT ?? (v.MULLION_PORT === 0 ? 0 : v.MULLION_PORT + 1),
    files: certFile === undefined || keyFile === undefined ? undefined : { certFile, keyFile },
  };
}

/** A backup's store has keys of its own, or those of the archive's objects; never a retention. */
function backupPlan(v: z.output<typeof environment>, home: string): BackupPlan | undefined {
  if (v.MULLION_BACKUP_TO === undefined) return undefined;
  const accessKey = v.MULLION_BACKUP_S3_ACCESS_KEY ?? v.MULLION_S3_ACCESS_KEY;
  const secretKey = v.MULLION_BACKUP_S3_SECRET_KEY ?? v.MULLION_S3_SECRET_KEY;
  return {
    to: v.MULLION_BACKUP_TO,
    everyMs: v.MULLION_BACKUP_EVERY_HOURS * 3_600_000,
    s3:
      accessKey === undefined || secretKey === undefined
        ? undefined
        : { accessKey, secretKey, spoolFolder: join(home, 'spool') },
  };
}
