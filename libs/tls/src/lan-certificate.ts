/** The authority and the server's certificate as they lie in the home, made and renewed when needed. */
import { randomBytes, X509Certificate } from 'node:crypto';
import { mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { isWithin, type LanAddress, localName } from './lan-addresses.js';
import { type MadeCertificate, makeAuthority, makeLeaf } from './make-certificate.js';

const DAY_MS = 24 * 60 * 60_000;
/** Phones take a server's certificate for at most 398 days. */
const LEAF_MS = 396 * DAY_MS;
const RENEW_BEFORE_MS = 30 * DAY_MS;
const AUTHORITY_MS = 10 * 365 * DAY_MS;

export interface LanCertificate {
  readonly keyPem: string;
  /** the leaf and the authority, as a server hands them out */
  readonly chainPem: string;
  readonly authorityPem: string;
  /** what it stands for: addresses and the local name */
  readonly names: readonly string[];
  /** made just now: every phone has to trust it once (more) */
  readonly isNewAuthority: boolean;
}

interface Kept {
  readonly networks: readonly LanAddress[];
  readonly dnsName: string | undefined;
}

/** Where the certificates of a home lie. */
export const lanFolder = (home: string): string => join(home, 'lan');

/**
 * Opens what lies in the home, made anew where something is missing, old, or for other addresses. The
 * authority is made anew only when this machine stands in a network for which it may not vouch.
 */
export async function openLanCertificate(
  home: string,
  addresses: readonly LanAddress[],
  now: Date,
): Promise<LanCertificate> {
  const folder = lanFolder(home);
  await mkdir(folder, { recursive: true, mode: 0o700 });
  const dnsName = localName();
  const kept = await keptAuthority(folder);
  const covers =
    kept !== undefined &&
    kept.dnsName === dnsName &&
    addresses.every(({ address }) => kept.networks.some((network) => isWithin(address, network))) &&
    new X509Certificate(kept.certificatePem).validToDate.getTime() - now.getTime() > LEAF_MS;
  const authority = covers
    ? kept
    : await newAuthority(folder, { networks: addresses, dnsName }, now);
  const names = [...(dnsName === undefined ? [] : [dnsName]), ...addresses.map((a) => a.address)];
  const leaf =
    (covers ? await keptLeaf(folder, authority, names, now) : undefined) ??
    (await newLeaf(folder, authority, addresses, dnsName, now));
  return {
    keyPem: leaf.keyPem,
    chainPem: leaf.certificatePem + authority.certificatePem,
    authorityPem: authority.certificatePem,
    names,
    isNewAuthority: !covers,
  };
}

/** The certificates of a home as they lie there; undefined when none were made. */
export async function certificateInUse(
  home: string,
): Promise<{ leafPem: string; authorityPem: string } | undefined> {
  const folder = lanFolder(home);
  const [leafPem, authorityPem] = await Promise.all([
    read(join(folder, 'server.pem')),
    read(join(folder, 'authority.pem')),
  ]);
  return leafPem === undefined || authorityPem === undefined
    ? undefined
    : { leafPem, authorityPem };
}

async function keptAuthority(folder: string): Promise<(MadeCertificate & Kept) | undefined> {
  const [certificatePem, keyPem, said] = await Promise.all([
    read(join(folder, 'authority.pem')),
    read(join(folder, 'authority-key.pem')),
    read(join(folder, 'authority.json')),
  ]);
  if (certificatePem === undefined || keyPem === undefined || said === undefined) return undefined;
  return { certificatePem, keyPem, ...(JSON.parse(said) as Kept) };
}

async function newAuthority(folder: string, kept: Kept, now: Date): Promise<MadeCertificate> {
  const made = await makeAuthority({
    commonName: `Mullion of this workshop ${randomBytes(3).toString('hex')}`,
    ...kept,
    now,
    validMs: AUTHORITY_MS,
  });
  await write(join(folder, 'authority-key.pem'), made.keyPem);
  await write(join(folder, 'authority.json'), JSON.stringify(kept));
  await write(join(folder, 'authority.pem'), made.certificatePem);
  return made;
}

async function keptLeaf(
  folder: string,
  authority: MadeCertificate,
  names: readonly string[],
  now: Date,
): Promise<MadeCertificate | undefined> {
  const [certificatePem, keyPem] = await Promise.all([
    read(join(folder, 'server.pem')),
    read(join(folder, 'server-key.pem')),
  ]);
  if (certificatePem === undefined || keyPem === undefined) return undefined;
  const leaf = new X509Certificate(certificatePem);
  const isFresh = leaf.validToDate.getTime() - now.getTime() > RENEW_BEFORE_MS;
  const isOurs = leaf.verify(new X509Certificate(authority.certificatePem).publicKey);
  return isFresh && isOurs && isSameNames(leaf, names) ? { certificatePem, keyPem } : undefined;
}

function isSameNames(leaf: X509Certificate, names: readonly string[]): boolean {
  const given = (leaf.subjectAltName ?? '')
    .split(', ')
    .map((text) => text.replace(/^(DNS|IP Address):/, ''));
  return given.length === names.length && names.every((name) => given.includes(name));
}

async function newLeaf(
  folder: string,
  authority: MadeCertificate,
  addresses: readonly LanAddress[],
  dnsName: string | undefined,
  now: Date,
): Promise<MadeCertificate> {
  const made = await makeLeaf({
    authority,
    dnsName,
    addresses: addresses.map(({ address }) => address),
    now,
    validMs: LEAF_MS,
  });
  await write(join(folder, 'server-key.pem'), made.keyPem);
  await write(join(folder, 'server.pem'), made.certificatePem);
  return made;
}

async function read(path: string): Promise<string | undefined> {
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}

/** Whole or not at all, and for the owner alone. */
async function write(path: string, text: string): Promise<void> {
  const aside = `${path}.new`;
  await writeFile(aside, text, { mode: 0o600 });
  await rename(aside, path);
}
