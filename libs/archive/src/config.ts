/** Configuration of server and worker, read from the environment once at start. */
import { homedir } from 'node:os';
import { join } from 'node:path';
import { z } from 'zod';

const flag = z
  .enum(['0', '1', 'true', 'false', ''])
  .default('0')
  .transform((text) => text === '1' || text === 'true');
const bytes = z.coerce.number().int().positive();

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
  MULLION_OBJECTS: z
    .string()
    .regex(/^(file:.+|s3:\/\/.+)$/, 'expected file:<folder> or s3://<bucket>?endpoint=<url>')
    .optional(),
  MULLION_S3_ACCESS_KEY: z.string().optional(),
  MULLION_S3_SECRET_KEY: z.string().optional(),
  MULLION_KEY_FILE: z.string().optional(),
  MULLION_MAX_UPLOAD_BYTES: bytes.default(2 * 1024 ** 3),
  MULLION_MAX_PIXELS: bytes.default(200_000_000),
  MULLION_MAX_FRAMES: bytes.default(1),
  MULLION_STUDIO_DIR: z.string().optional(),
  MULLION_PUBLIC_URL: z.url().optional(),
  MULLION_SECURE_COOKIES: flag,
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
  readonly s3: { accessKey: string; secretKey: string; spoolFolder: string } | undefined;
  /** Ed25519 private key, PKCS #8 PEM */
  readonly keyFile: string;
  readonly maxUploadBytes: number;
  readonly maxPixels: number;
  readonly maxFrames: number;
  readonly studioDir: string | undefined;
  readonly publicUrl: string | undefined;
  readonly hasSecureCookies: boolean;
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
  const home = v.MULLION_HOME ?? join(homedir(), '.local', 'share', 'mullion');
  return {
    databaseUrl: v.DATABASE_URL,
    home,
    port: v.MULLION_PORT,
    host: v.MULLION_HOST,
    isDemo: v.MULLION_DEMO,
    oneTimeTokenDigest: v.MULLION_ONE_TIME_TOKEN_DIGEST,
    objects: v.MULLION_OBJECTS ?? `file:${join(home, 'objects')}`,
    s3:
      v.MULLION_S3_ACCESS_KEY === undefined || v.MULLION_S3_SECRET_KEY === undefined
        ? undefined
        : {
            accessKey: v.MULLION_S3_ACCESS_KEY,
            secretKey: v.MULLION_S3_SECRET_KEY,
            spoolFolder: join(home, 'spool'),
          },
    keyFile: v.MULLION_KEY_FILE ?? join(home, 'archive-key.pem'),
    maxUploadBytes: v.MULLION_MAX_UPLOAD_BYTES,
    maxPixels: v.MULLION_MAX_PIXELS,
    maxFrames: v.MULLION_MAX_FRAMES,
    studioDir: v.MULLION_STUDIO_DIR,
    publicUrl: v.MULLION_PUBLIC_URL,
    hasSecureCookies: v.MULLION_SECURE_COOKIES,
  };
}
