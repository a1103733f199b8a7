export {
  type CertificateVerdict,
  certificateNames,
  checkServerCertificate,
} from './check-certificate.js';
export { type LanAddress, lanAddresses } from './lan-addresses.js';
export { certificateInUse, type LanCertificate, openLanCertificate } from './lan-certificate.js';
export { derOf, fingerprintOfCertificate } from './pem.js';
