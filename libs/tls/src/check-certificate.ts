/** A server's certificate judged by RFC 5280 in JavaScript (pkijs), without the TLS library that serves it. */

import { fromBER, OctetString } from 'asn1js';
import { Certificate, CertificateChainValidationEngine, GeneralNames } from 'pkijs';
import { derOf } from './pem.js';

export interface CertificateVerdict {
  readonly isGood: boolean;
  /** one sentence without a stop */
  readonly says: string;
  readonly validTo: Date;
  readonly names: readonly string[];
}

const SUBJECT_ALT_NAME = '2.5.29.17';
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
    type === 7 && value instanceof OctetString
      ? [...value.valueBlock.valueHexView].join('.')
      : String(value),
  );
}
