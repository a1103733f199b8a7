/** A time-stamp token taken apart. Source: RFC 3161 section 2.4.2, RFC 5652 (CMS). */
import { Certificate, ContentInfo, SignedData, TSTInfo } from 'pkijs';

export const SHA256_OID = '2.16.840.1.101.3.4.2.1';
const SIGNED_DATA_OID = '1.2.840.113549.1.7.2';
export const TST_INFO_OID = '1.2.840.113549.1.9.16.1.4';

/** @throws Error when the bytes are no CMS SignedData over a TSTInfo */
export function signedDataOf(token: Uint8Array): SignedData {
  const content = ContentInfo.fromBER(new Uint8Array(token));
  if (content.contentType !== SIGNED_DATA_OID) throw new Error('no CMS SignedData');
  const signed = new SignedData({ schema: content.content });
  if (signed.encapContentInfo.eContentType !== TST_INFO_OID) throw new Error('no TSTInfo inside');
  return signed;
}

/** What the authority signed: imprint, time, serial number. @throws Error when it cannot be read */
export function infoOf(signed: SignedData): TSTInfo {
  const content = signed.encapContentInfo.eContent;
  if (content === undefined) throw new Error('the TSTInfo is not in the token');
  return TSTInfo.fromBER(content.getValue());
}

/** @throws Error for a block that is no certificate */
export function certificatesOfPem(pem: string): Certificate[] {
  const blocks = pem.matchAll(
    /-----BEGIN (?:TRUSTED )?CERTIFICATE-----([A-Za-z0-9+/=\s]+)-----END (?:TRUSTED )?CERTIFICATE-----/g,
  );
  return [...blocks].map(([, base64]) =>
    Certificate.fromBER(new Uint8Array(Buffer.from(base64!, 'base64'))),
  );
}

/** DER of a certificate as it came. */
export function derOf(certificate: Certificate): Uint8Array {
  return new Uint8Array(certificate.toSchema(false).toBER());
}
