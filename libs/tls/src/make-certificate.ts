/** X.509 certificates of the workshop's network (RFC 5280), ECDSA on P-256 with SHA-256. */
import { randomBytes } from 'node:crypto';
import { BitString, Integer, OctetString, PrintableString, Utf8String } from 'asn1js';
import {
  AttributeTypeAndValue,
  BasicConstraints,
  Certificate,
  CryptoEngine,
  Extension,
  ExtKeyUsage,
  GeneralName,
  GeneralNames,
  GeneralSubtree,
  NameConstraints,
  setEngine,
} from 'pkijs';
import { ipv4Bytes, type LanAddress } from './lan-addresses.js';
import { derOf, pemOf } from './pem.js';

setEngine('node', new CryptoEngine({ name: 'node', crypto }));

const EC = { name: 'ECDSA', namedCurve: 'P-256' } as const;
const newKeys = () => crypto.subtle.generateKey(EC, true, ['sign', 'verify']);
type Keys = Awaited<ReturnType<typeof newKeys>>;
const COMMON_NAME = '2.5.4.3';
const DNS = 2;
const IP = 7;
// RFC 5280 § 4.2.1
const EXT = {
  keyUsage: '2.5.29.15',
  subjectAltName: '2.5.29.17',
  basicConstraints: '2.5.29.19',
  nameConstraints: '2.5.29.30',
  extKeyUsage: '2.5.29.37',
} as const;
const SERVER_AUTH = '1.3.6.1.5.5.7.3.1';
const KEY_CERT_SIGN = 0x04;
const DIGITAL_SIGNATURE = 0x80;

export interface MadeCertificate {
  readonly certificatePem: string;
  /** PKCS #8 */
  readonly keyPem: string;
}

/**
 * An authority that can vouch for one name and for addresses in the networks on which this machine
 * stands, and for nothing else: its name constraints are critical, so that a program that does not
 * understand them must not trust it.
 */
export async function makeAuthority(given: {
  readonly commonName: string;
  readonly dnsName: string | undefined;
  readonly networks: readonly LanAddress[];
  readonly now: Date;
  readonly validMs: number;
}): Promise<MadeCertificate> {
  const keys = await newKeys();
  const permitted = given.networks.map(({ address, netmask }) => {
    const [a, m] = [ipv4Bytes(address), ipv4Bytes(netmask)];
    const network = a.map((byte, i) => byte & m[i]!);
    return subtree(IP, octets(Uint8Array.of(...network, ...m)));
  });
  // a name is always permitted, so that every other name is excluded
  permitted.push(subtree(DNS, given.dnsName ?? 'mullion.invalid'));
  const certificate = blank(given.commonName, given.commonName, given.now, given.validMs);
  certificate.extensions = [
    extension(EXT.basicConstraints, true, new BasicConstraints({ cA: true, pathLenConstraint: 0 })),
    extension(EXT.keyUsage, true, keyUsage(KEY_CERT_SIGN, 2)),
    extension(EXT.nameConstraints, true, new NameConstraints({ permittedSubtrees: permitted })),
  ];
  return finished(certificate, keys, keys.privateKey);
}

/** The server's certificate, signed by the authority. */
export async function makeLeaf(given: {
  readonly authority: MadeCertificate;
  readonly dnsName: string | undefined;
  readonly addresses: readonly string[];
  readonly now: Date;
  readonly validMs: number;
}): Promise<MadeCertificate> {
  const keys = await newKeys();
  const issuer = Certificate.fromBER(derOf('CERTIFICATE', given.authority.certificatePem));
  const issuerKey = await crypto.subtle.importKey(
    'pkcs8',
    derOf('PRIVATE KEY', given.authority.keyPem),
    EC,
    false,
    ['sign'],
  );
  const name = given.dnsName ?? given.addresses[0] ?? 'mullion';
  const certificate = blank(name, undefined, given.now, given.validMs);
  certificate.issuer = issuer.subject;
  const names = [
    ...(given.dnsName === undefined ? [] : [new GeneralName({ type: DNS, value: given.dnsName })]),
    ...given.addresses.map(
      (address) => new GeneralName({ type: IP, value: octets(ipv4Bytes(address)) }),
    ),
  ];
  certificate.extensions = [
    extension(EXT.basicConstraints, true, new BasicConstraints({ cA: false })),
    extension(EXT.keyUsage, true, keyUsage(DIGITAL_SIGNATURE, 7)),
    extension(EXT.extKeyUsage, false, new ExtKeyUsage({ keyPurposes: [SERVER_AUTH] })),
    extension(EXT.subjectAltName, false, new GeneralNames({ names })),
  ];
  return finished(certificate, keys, issuerKey);
}

function blank(
  commonName: string,
  issuerName: string | undefined,
  now: Date,
  validMs: number,
): Certificate {
  const certificate = new Certificate();
  certificate.version = 2;
  // RFC 5280 § 4.1.2.2: positive, at most 20 octets
  const serial = randomBytes(16);
  serial[0] = (serial[0]! & 0x7f) | 0x40;
  certificate.serialNumber = new Integer({ valueHex: new Uint8Array(serial).buffer });
  certificate.subject.typesAndValues.push(named(commonName));
  if (issuerName !== undefined) certificate.issuer.typesAndValues.push(named(issuerName));
  // clocks of phones are a little off
  certificate.notBefore.value = new Date(now.getTime() - 60 * 60_000);
  certificate.notAfter.value = new Date(now.getTime() + validMs);
  return certificate;
}

const named = (commonName: string): AttributeTypeAndValue =>
  new AttributeTypeAndValue({
    type: COMMON_NAME,
    value: /^[A-Za-z0-9 .-]+$/.test(commonName)
      ? new PrintableString({ value: commonName })
      : new Utf8String({ value: commonName }),
  });

const octets = (bytes: Uint8Array): OctetString =>
  new OctetString({ valueHex: new Uint8Array(bytes).buffer });

const subtree = (type: number, value: unknown): GeneralSubtree =>
  new GeneralSubtree({ base: new GeneralName({ type: type as 0, value }) });

function keyUsage(bits: number, unusedBits: number): BitString {
  return new BitString({ valueHex: Uint8Array.of(bits).buffer, unusedBits });
}

function extension(
  extnID: string,
  critical: boolean,
  value: { toSchema(): { toBER(): ArrayBuffer } } | BitString,
): Extension {
  const schema = value instanceof BitString ? value : value.toSchema();
  return new Extension({ extnID, critical, extnValue: schema.toBER() });
}

async function finished(
  certificate: Certificate,
  keys: Keys,
  signingKey: Keys['privateKey'],
): Promise<MadeCertificate> {
  await certificate.subjectPublicKeyInfo.importKey(keys.publicKey);
  await certificate.sign(signingKey, 'SHA-256');
  return {
    certificatePem: pemOf('CERTIFICATE', certificate.toSchema(true).toBER()),
    keyPem: pemOf('PRIVATE KEY', await crypto.subtle.exportKey('pkcs8', keys.privateKey)),
  };
}
