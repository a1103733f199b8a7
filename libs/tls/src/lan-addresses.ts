import { hostname, networkInterfaces } from 'node:os';

/** An address of this machine on a private network, and the network that it stands in. */
export interface LanAddress {
  readonly address: string;
  readonly netmask: string;
}

/** RFC 1918 and RFC 3927. */
const PRIVATE = /^(10\.|192\.168\.|172\.(1[6-9]|2\d|3[01])\.|169\.254\.)/;

/**
 * IPv4 addresses of this machine on private networks.
 *
 * @param only comma-separated addresses in place of those found: they count as networks of one address
 */
export function lanAddresses(only?: string): LanAddress[] {
  if (only !== undefined && only.trim() !== '')
    return only
      .split(',')
      .map((address) => ({ address: address.trim(), netmask: '255.255.255.255' }));
  return Object.values(networkInterfaces())
    .flatMap((found) => found ?? [])
    .filter(
      ({ family, internal, address }) => family === 'IPv4' && !internal && PRIVATE.test(address),
    )
    .map(({ address, netmask }) => ({ address, netmask }));
}

/** The machine's name on its network (RFC 6762): `bench.local`; undefined where it has none that can be one. */
export function localName(): string | undefined {
  const name = hostname().split('.')[0]!.toLowerCase();
  return /^[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?$/.test(name) && name !== 'localhost'
    ? `${name}.local`
    : undefined;
}

/** Four bytes of an IPv4 address. @throws Error for anything else */
export function ipv4Bytes(address: string): Uint8Array {
  const parts = address.split('.').map(Number);
  if (
    parts.length !== 4 ||
    parts.some((part) => !(Number.isInteger(part) && part >= 0 && part < 256))
  )
    throw new Error(`${address} is not an IPv4 address`);
  return Uint8Array.from(parts);
}

/** Whether an address lies in a network. */
export function isWithin(address: string, network: LanAddress): boolean {
  const [a, n, m] = [address, network.address, network.netmask].map(ipv4Bytes);
  return a!.every((byte, i) => (byte & m![i]!) === (n![i]! & m![i]!));
}
