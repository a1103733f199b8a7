import { isIP } from 'node:net';
import type { MullionConfig } from '#libs/archive';

/** Whether a host that is listened on is this machine's own (RFC 1122 § 3.2.1.3, RFC 4291 § 2.5.3). */
export const isLoopback = (host: string): boolean =>
  host === 'localhost' || host === '::1' || (isIP(host) === 4 && host.startsWith('127.'));

/**
 * Passwords and pictures do not go over a network in the clear.
 *
 * @throws Error when the server would listen beyond this machine without TLS, and nobody forced it
 */
export function refusePlainHttp(
  config: Pick<MullionConfig, 'host' | 'isBehindProxy' | 'allowsPlainHttp'>,
): void {
  if (isLoopback(config.host) || config.isBehindProxy || config.allowsPlainHttp) return;
  throw new Error(
    `MULLION_HOST=${config.host} listens beyond this machine without TLS: passwords could be read on the way. ` +
      'For phones in the workshop start with npm start -- --lan. Behind a proxy with TLS set MULLION_BEHIND_PROXY=1. ' +
      'To do it all the same set MULLION_PLAIN_HTTP_BEYOND_THIS_MACHINE=1.',
  );
}
