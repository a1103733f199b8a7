/** A server's certificate judged by RFC 5280 in JavaScript (pkijs), without the TLS library that serves it. */

import { fromBER, OctetString } from 'asn1js';
import {
  Certificate,
  CertificateChainValidationEngine,
  GeneralNames,
  NameConstraints,
} from 'pkijs';
import { isWithin, type LanAddress } from './lan-addresses.js';
import { derOf } from './pem.js';

export interface CertificateVerdict {
  readonly isGood: boolean;
  /** one sentence without a stop */
  readonly says: string;
  readonly validTo: Date;
  readonly names: readonly string[];
}

const SUBJECT_ALT_NAME = '2.5.29.17';
const NAME_CONSTRAINTS = '2.5.29.30';
const IP = 7;
const LONGEST_MS = 398 * 24 * 60 * 60_000;

/**
 * @param addresses addresses that phones use: each must stand in the certificate
 * @param at the moment it must hold
 */
export async function checkServerCertificate(
  leafPem: string,
  authorityPem: string,
  addresses: readonly string[],
  at: Date,
): Promise<CertificateVerdict> {
  const leaf = Certificate.fromBER(derOf('CERTIFICATE', leafPem));
  const authority = Certificate.fromBER(derOf('CERTIFICATE', authorityPem));
  const validTo = leaf.notAfter.value;
  const names = namesOf(leaf);
  const verdict = (isGood: boolean, says: string) => ({ isGood, says, validTo, names });
  const engine = new CertificateChainValidationEngine({
    trustedCerts: [authority],
    certs: [leaf],
    checkDate: at,
  });
  const { result, resultMessage } = await engine.verify();
  if (!result) return verdict(false, `the chain does not hold: ${resultMessage}`);
  if (validTo.getTime() - leaf.notBefore.value.getTime() > LONGEST_MS)
    return verdict(false, 'it is valid for longer than phones accept');
  // the engine does not hold a leaf against its trust anchor's constraints
  const outside = names.filter((name) => !isPermitted(name, permittedBy(authority)));
  if (outside.length > 0)
    return verdict(false, `its authority may not vouch for ${outside.join(', ')}`);
  const missing = addresses.filter((address) => !names.includes(address));
  if (missing.length > 0) return verdict(false, `it does not stand for ${missing.join(', ')}`);
  return verdict(
    true,
    `it stands for ${names.join(', ')} until ${validTo.toISOString().slice(0, 10)}`,
  );
}

/** Names and IPv4 addresses for which the first certificate of a PEM file stands. */
export const certificateNames = (pem: string): string[] =>
  namesOf(Certificate.fromBER(derOf('CERTIFICATE', pem)));

function namesOf(leaf: Certificate): string[] {
  const extension = leaf.extensions?.find(({ extnID }) => extnID === SUBJECT_ALT_NAME);
  if (extension === undefined) return [];
  const { result } = fromBER(extension.extnValue.valueBlock.valueHexView);
  return new GeneralNames({ schema: result }).names.map(({ type, value }) =>
    type === IP && value instanceof OctetString
      ? [...value.valueBlock.valueHexView].join('.')
      : String(value),
  );
}

interface Permitted {
  readonly names: readonly string[];
  readonly networks: readonly LanAddress[];
}

/** RFC 5280 § 4.2.1.10: an address of four octets, then its mask. */
function permittedBy(authority: Certificate): Permitted {
  const extension = authority.extensions?.find(({ extnID }) => extnID === NAME_CONSTRAINTS);
  if (extension === undefined) return { names: [], networks: [] };
  const { result } = fromBER(extension.extnValue.valueBlock.valueHexView);
  const bases = (new NameConstraints({ schema: result }).permittedSubtrees ?? []).map(
    ({ base }) => base,
  );
  const networks = bases.flatMap(({ type, value }) => {
    if (type !== IP || !(value instanceof OctetString)) return [];
    const octets = [...value.valueBlock.valueHexView];
    return octets.length === 8
      ? [{ address: octets.slice(0, 4).join('.'), netmask: octets.slice(4).join('.') }]
      : [];
  });
  const names = bases.flatMap(({ type, value }) => (type === IP ? [] : [String(value)]));
  return { names, networks };
}

function isPermitted(name: string, { names, networks }: Permitted): boolean {
  return /^\d+(\.\d+){3}$/.test(name)
    ? networks.some((network) => isWithin(name, network))
    : names.some((base) => name === base || name.endsWith(`.${base}`));
}
