/** Requests to an S3 service that end in good time, are tried again where that is safe, and fail plainly. */
import http from 'node:http';
import https from 'node:https';
import { setTimeout as sleep } from 'node:timers/promises';
import { Client } from 'minio';
import { ObjectStoreError } from './object-store.js';

export interface S3Place {
  bucket: string;
  /** e.g. `http://127.0.0.1:7480` */
  endpoint: string;
  accessKey: string;
  secretKey: string;
  region?: string;
  /** `<bucket>.<host>` instead of `<host>/<bucket>` */
  hasBucketInHost?: boolean;
  /** folder for bytes whose digest is not known before they have all arrived */
  spoolFolder: string;
  /** the bucket must keep what stands under retention; it is made so where it is not there */
  needsLock?: boolean;
  /** how long an original may not be removed; absent: as long as anybody likes */
  retainOriginalsMs?: number;
  /** silence after which a request is given up; 30 s where absent */
  patienceMs?: number;
  /** bytes of one part; larger objects go up in several. At least 5 MiB, 16 MiB where absent */
  partBytes?: number;
}

const PATIENCE_MS = 30_000;
const ATTEMPTS = 3;
const PAUSE_MS = 150;

export function connect(place: S3Place): Client {
  const url = new URL(place.endpoint);
  const isSecure = url.protocol === 'https:';
  const patienceMs = place.patienceMs ?? PATIENCE_MS;
  const transport = isSecure ? https : http;
  return new Client({
    endPoint: url.hostname,
    useSSL: isSecure,
    accessKey: place.accessKey,
    secretKey: place.secretKey,
    region: place.region ?? 'us-east-1',
    pathStyle: place.hasBucketInHost !== true,
    // its own tries leave the refused answer unread and write to the console
    retryOptions: { disableRetry: true },
    transportAgent: new transport.Agent({ keepAlive: true, timeout: patienceMs }),
    transport: { request: patient(transport, patienceMs) as typeof http.request },
    ...(url.port === '' ? {} : { port: Number(url.port) }),
  });
}

/** Ends a request, and the answer that is being read, once nothing has come for a while. */
function patient(transport: typeof http | typeof https, patienceMs: number) {
  return (options: https.RequestOptions, answered: (response: http.IncomingMessage) => void) => {
    const request = transport.request(options, answered);
    request.on('timeout', () => {
      request.destroy(new Error(`nothing came for ${patienceMs} ms`));
    });
    return request;
  };
}

/**
 * Runs a request that may safely be run again, up to three times, and turns what goes wrong into the
 * fault that a caller can act on. What the service refuses for good is not tried again.
 *
 * @throws {ObjectStoreError} `store-unavailable`, `store-full`; `object-missing` and the like from `work`
 */
export async function attempted<T>(what: string, work: () => Promise<T>): Promise<T> {
  for (let attempt = 1; ; attempt++) {
    try {
      return await work();
    } catch (error) {
      if (error instanceof ObjectStoreError) throw error;
      if (attempt === ATTEMPTS || !isPassing(error)) throw s3Fault(what, error);
      await sleep(PAUSE_MS * 2 ** (attempt - 1));
    }
  }
}

/** S3's own name of what went wrong, e.g. `NoSuchKey`; '' for trouble on the way. */
export function s3Code(error: unknown): string {
  const { code } = error as { code?: unknown };
  return typeof code === 'string' ? code : '';
}

export function isS3Absent(error: unknown): boolean {
  const code = s3Code(error);
  return code === 'NotFound' || code === 'NoSuchKey' || code === 'NoSuchVersion';
}

export function s3Fault(what: string, error: unknown): ObjectStoreError {
  if (error instanceof ObjectStoreError) return error;
  const code = s3Code(error);
  const said = [code, (error as Error).message].filter((text) => text !== '').join(': ');
  if (FULL.has(code)) {
    return new ObjectStoreError(
      'store-full',
      `${what}: the store has no space left (${said}). Nothing was kept; make room, then do it again.`,
      { cause: error },
    );
  }
  return new ObjectStoreError(
    'store-unavailable',
    `${what}: the store did not do it (${said}). Nothing was acknowledged; see to the service or the way to it.`,
    { cause: error },
  );
}

const FULL = new Set([
  'QuotaExceeded',
  'InsufficientCapacity',
  'XMinioStorageFull',
  'EntityTooLarge',
]);

/** Answers of RFC 9110 that another try may change, and broken lines; a long silence is not asked again. */
const PASSING = new Set([
  'InternalError',
  'InternalServerError',
  'ServiceUnavailable',
  'SlowDown',
  'SlowDownRead',
  'SlowDownWrite',
  'RequestTimeout',
  'BadGateway',
  'GatewayTimeout',
  'ECONNRESET',
  'ECONNREFUSED',
  'EPIPE',
]);

function isPassing(error: unknown): boolean {
  return PASSING.has(s3Code(error));
}
