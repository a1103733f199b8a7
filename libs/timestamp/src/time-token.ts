/**
 * Whether a time-stamp token over some bytes holds, offline.
 *
 * Checked: the imprint is of these bytes; one signer, whose certificate is the one the signature
 * names (ESSCertID) and may sign time stamps and nothing else; the signature; and, with the
 * reader's authorities, the chain up to one of them, valid at the time that the token states.
 * Revocation is not asked: that needs the network, and an answer of that time.
 * Source: RFC 3161 sections 2.2, 2.3 and 2.4.2; RFC 5816 (ESSCertIDv2); RFC 5652 section 5.3.
 */
import { createHash } from 'node:crypto';
import type * as asn1js from 'asn1js';
import type { Certificate, ExtKeyUsage, SignedData, SignerInfo, TSTInfo } from 'pkijs';
import {
  certificatesOfPem,
  derOf,
  infoOf,
  SHA256_OID,
  signedDataOf,
  TST_INFO_OID,
} from './token-form.js';

export type TimeFault = 'form' | 'imprint' | 'purpose' | 'signature' | 'chain';

export type TimeSaying =
  | {
      ok: true;
      /** the bytes existed at this time at the latest, says the authority */
      at: Date;
      /** how far off the authority says its clock may be; undefined when it does not say */
      accuracyMs?: number;
      /** name in the signer's certificate */
      authority: string;
      serialHex: string;
      /** false: no authorities were given, so anybody may have made this certificate */
      isChainChecked: boolean;
    }
  | { ok: false; fault: TimeFault; reason: string };

const EXT_KEY_USAGE_OID = '2.5.29.37';
const TIME_STAMPING_OID = '1.3.6.1.5.5.7.3.8';
const CONTENT_TYPE_OID = '1.2.840.113549.1.9.3';
const SIGNING_CERTIFICATE_OID = '1.2.840.113549.1.9.16.2.12';
const SIGNING_CERTIFICATE_V2_OID = '1.2.840.113549.1.9.16.2.47';
const COMMON_NAME_OID = '2.5.4.3';
const ORGANISATION_OID = '2.5.4.10';
const SHA1_OID = '1.3.14.3.2.26';
const HASHES: Readonly<Record<string, string>> = {
  [SHA256_OID]: 'sha256',
  '2.16.840.1.101.3.4.2.2': 'sha384',
  '2.16.840.1.101.3.4.2.3': 'sha512',
  [SHA1_OID]: 'sha1',
};

/**
 * Certificates of authorities that the reader trusts.
 * @throws Error when the text holds no certificate
 */
export function readAuthorities(pem: string): Certificate[] {
  const found = certificatesOfPem(pem);
  if (found.length === 0) throw new Error('there is no certificate in it (PEM is expected)');
  return found;
}

/** @param authorities undefined: the chain is not checked, and the answer says so */
export async function checkTimeToken(
  token: Uint8Array,
  data: Uint8Array,
  authorities?: readonly Certificate[],
): Promise<TimeSaying> {
  const no = (fault: TimeFault, reason: string): TimeSaying => ({ ok: false, fault, reason });
  let signed: SignedData;
  let info: TSTInfo;
  try {
    signed = signedDataOf(token);
    info = infoOf(signed);
  } catch (cause) {
    return no('form', `it is no time-stamp token: ${messageOf(cause)}`);
  }
  if (!isImprintOf(info, data)) {
    return no('imprint', 'it is a token over other bytes than these');
  }
  const [signer, ...more] = signed.signerInfos;
  if (signer === undefined || more.length > 0)
    return no('form', 'a token is signed by exactly one authority');
  // RFC 5652 section 5.4: a digest that the list of them leaves out may be refused
  const digest = signer.digestAlgorithm.algorithmId;
  if (!signed.digestAlgorithms.some(({ algorithmId }) => algorithmId === digest))
    return no('form', 'its list of digests leaves out the one that it is signed with');
  const certificate = signerCertificate(signed, signer);
  if (certificate === undefined)
    return no('form', 'the certificate that its signature names is not in it');
  if (!mayOnlyStampTime(certificate)) {
    return no('purpose', 'its certificate is not one for time stamps, and for nothing else');
  }
  try {
    const verified = await signed.verify({
      signer: 0,
      data: new Uint8Array(data).buffer,
      checkChain: authorities !== undefined,
      trustedCerts: [...(authorities ?? [])],
      passedWhenNotRevValues: true,
      extendedMode: true,
    });
    if (verified.signatureVerified !== true) return no('signature', 'its signature does not hold');
  } catch (cause) {
    const isChain = (cause as { code?: number }).code === 5;
    return isChain
      ? no(
          'chain',
          `no authority that you named vouches for its certificate at ${info.genTime.toISOString()}`,
        )
      : no('signature', `its signature does not hold: ${messageOf(cause)}`);
  }
  const accuracyMs = accuracyOf(info);
  return {
    ok: true,
    at: info.genTime,
    authority: nameOf(certificate),
    serialHex: Buffer.from(info.serialNumber.valueBlock.valueHexView).toString('hex'),
    isChainChecked: authorities !== undefined,
    ...(accuracyMs !== undefined && { accuracyMs }),
  };
}

/** SHA-256, 384 or 512; SHA-1 no more says which bytes were stamped. */
function isImprintOf({ messageImprint }: TSTInfo, data: Uint8Array): boolean {
  const name = HASHES[messageImprint.hashAlgorithm.algorithmId];
  if (name === undefined || name === 'sha1') return false;
  const wanted = createHash(name).update(data).digest();
  return wanted.equals(messageImprint.hashedMessage.valueBlock.valueHexView);
}

/**
 * The certificate that the signed attributes name by its digest: without that, a certificate with
 * the same issuer and number could be put in the signer's place.
 */
function signerCertificate(signed: SignedData, signer: SignerInfo): Certificate | undefined {
  const attributes = signer.signedAttrs?.attributes ?? [];
  const type = attributes.find((one) => one.type === CONTENT_TYPE_OID)?.values[0] as
    | asn1js.ObjectIdentifier
    | undefined;
  if (type?.valueBlock.toString() !== TST_INFO_OID) return undefined;
  const named = attributes.flatMap((one) => {
    const value = one.values[0] as asn1js.AsnType | undefined;
    if (one.type === SIGNING_CERTIFICATE_V2_OID) return certificateIds(value, SHA256_OID);
    if (one.type === SIGNING_CERTIFICATE_OID) return certificateIds(value, SHA1_OID);
    return [];
  })[0];
  const hash = HASHES[named?.algorithm ?? ''];
  if (named === undefined || hash === undefined) return undefined;
  return signed.certificates?.find((one): one is Certificate => {
    if (!('subjectPublicKeyInfo' in one)) return false;
    const isNamed = createHash(hash).update(derOf(one)).digest().equals(named.digest);
    const { sid } = signer as {
      sid: { issuer?: Certificate['issuer']; serialNumber?: asn1js.Integer };
    };
    const isSigner =
      sid.issuer === undefined ||
      (one.issuer.isEqual(sid.issuer) && one.serialNumber.isEqual(sid.serialNumber!));
    return isNamed && isSigner;
  });
}

interface CertificateId {
  algorithm: string;
  digest: Uint8Array;
}

/** SigningCertificate(V2) ::= SEQUENCE { certs SEQUENCE OF ESSCertID(v2), … }; RFC 5035 section 3. */
function certificateIds(value: asn1js.AsnType | undefined, algorithm: string): CertificateId[] {
  const [certs] = partsOf(value);
  return partsOf(certs).flatMap((one) => {
    const parts = partsOf(one);
    const digest = parts.find(
      (part) => part.idBlock.tagNumber === 4 && part.idBlock.tagClass === 1,
    );
    const named = parts[0]?.idBlock.tagNumber === 16 ? partsOf(parts[0])[0] : undefined;
    if (digest === undefined) return [];
    return [
      {
        algorithm:
          parts.indexOf(digest) === 1 && named !== undefined
            ? (named as asn1js.ObjectIdentifier).valueBlock.toString()
            : algorithm,
        digest: (digest as asn1js.OctetString).valueBlock.valueHexView,
      },
    ];
  });
}

function partsOf(block: asn1js.AsnType | undefined): asn1js.AsnType[] {
  const value = (block as asn1js.Sequence | undefined)?.valueBlock.value;
  return Array.isArray(value) ? value : [];
}

/** RFC 3161 section 2.3: extended key usage critical, with time stamping as its only purpose. */
function mayOnlyStampTime(certificate: Certificate): boolean {
  const usage = certificate.extensions?.find((one) => one.extnID === EXT_KEY_USAGE_OID);
  const purposes = (usage?.parsedValue as ExtKeyUsage | undefined)?.keyPurposes;
  return usage?.critical === true && purposes?.length === 1 && purposes[0] === TIME_STAMPING_OID;
}

function accuracyOf({ accuracy }: TSTInfo): number | undefined {
  if (accuracy === undefined) return undefined;
  const { seconds = 0, millis = 0, micros = 0 } = accuracy;
  return seconds * 1000 + millis + micros / 1000;
}

function nameOf({ subject }: Certificate): string {
  const part = (oid: string) =>
    subject.typesAndValues.find(({ type }) => type === oid)?.value.valueBlock.value;
  return part(COMMON_NAME_OID) ?? part(ORGANISATION_OID) ?? 'an authority without a name';
}

function messageOf(cause: unknown): string {
  return cause instanceof Error ? cause.message : String(cause);
}
