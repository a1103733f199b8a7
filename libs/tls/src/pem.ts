import { createHash } from 'node:crypto';

/** PEM of DER bytes (RFC 7468). @param label 'CERTIFICATE', 'PRIVATE KEY' */
export function pemOf(label: string, der: ArrayBuffer | Uint8Array): string {
  const base64 = Buffer.from(der as Uint8Array).toString('base64');
  const lines = base64.match(/.{1,64}/g) ?? [];
  return `-----BEGIN ${label}-----\n${lines.join('\n')}\n-----END ${label}-----\n`;
}

/** DER of the first PEM block with this label. @throws Error where there is none */
export function derOf(label: string, pem: string): Uint8Array<ArrayBuffer> {
  const block = new RegExp(`-----BEGIN ${label}-----([A-Za-z0-9+/=\\s]+)-----END ${label}-----`);
  const base64 = block.exec(pem)?.[1];
  if (base64 === undefined) throw new Error(`there is no ${label} in this PEM file`);
  return new Uint8Array(Buffer.from(base64, 'base64'));
}

/** SHA-256 of a certificate as phones show it: pairs of capitals, parted by spaces. */
export function fingerprintOfCertificate(pem: string): string {
  const hex = createHash('sha256').update(derOf('CERTIFICATE', pem)).digest('hex').toUpperCase();
  return hex.match(/../g)!.join(' ');
}
