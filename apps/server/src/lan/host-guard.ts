import { hostname, networkInterfaces } from 'node:os';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { MullionConfig } from '#libs/archive';
import { Problem } from '#libs/problem';
import { isLoopback } from './plain-http.js';

/**
 * A page of another name that was led to this machine's address (DNS rebinding) must not talk to the
 * archive: only requests under a name that belongs here are answered. Behind a proxy the proxy decides
 * which names it serves.
 *
 * @param refuse answers what is asked for under another name
 * @param lanNames addresses and names of this machine on the workshop's network, as they are right now
 */
export function guardHosts(
  fastify: FastifyInstance,
  config: Pick<MullionConfig, 'host' | 'publicUrl' | 'allowsPlainHttp'>,
  lanNames: () => readonly string[],
  refuse: (problem: Problem, request: FastifyRequest, reply: FastifyReply) => void,
): void {
  const publicHost = config.publicUrl === undefined ? [] : [new URL(config.publicUrl).hostname];
  fastify.addHook('onRequest', (request, reply, done) => {
    const name = hostnameOf(request.headers.host);
    const isHere =
      name !== undefined &&
      (isLoopback(name) ||
        name === config.host ||
        publicHost.includes(name) ||
        (config.allowsPlainHttp && isThisMachine(name)) ||
        lanNames().includes(name));
    if (isHere) {
      done();
      return;
    }
    const detail = 'Open the archive at the address that its start printed.';
    refuse(new Problem('host-unknown', detail), request, reply);
  });
}

/** Where plain HTTP was forced, the machine answers to all of its own names and addresses. */
function isThisMachine(name: string): boolean {
  const own = hostname().toLowerCase();
  const addresses = Object.values(networkInterfaces()).flatMap((found) => found ?? []);
  return (
    name === own ||
    name === `${own.split('.')[0]}.local` ||
    addresses.some(({ address }) => address === name)
  );
}

/** Name or address of a Host header (RFC 9110 § 7.2), without port and brackets. */
export function hostnameOf(host: string | undefined): string | undefined {
  if (host === undefined || !URL.canParse(`http://${host}`)) return undefined;
  return new URL(`http://${host}`).hostname.replace(/^\[|\]$/g, '');
}
