import type { Picture } from './picture.js';

/** Pictures whose only sure copy lies on this device. */
export const notInArchive = ({ state, hasBytes, sha256 }: Picture): boolean =>
  hasBytes && sha256 !== null && state !== 'proven' && state !== 'discarded';
