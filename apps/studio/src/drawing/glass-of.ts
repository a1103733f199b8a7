import type { NetPiece } from '#libs/net';

/** Rings of the glass that is seen between the leads, or of the whole piece where no lead leaves any. */
export const glassOf = ({
  sightRingsMm,
  centreRingMm,
}: Pick<NetPiece, 'sightRingsMm' | 'centreRingMm'>) =>
  sightRingsMm.length > 0 ? sightRingsMm : [centreRingMm];
