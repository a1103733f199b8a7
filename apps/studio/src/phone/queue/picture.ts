/** One photograph on its way from this phone into the archive, and what was said of it. */
import type { LightKind, MediaKind, Stage } from '../../platform/api/media.js';
import type { Face, Layer } from '../../platform/api/panels.js';

/** What is being photographed and how: stated before the shot, carried by every picture of it. */
export interface Job {
  readonly siteId: string;
  /** full mark of a panel or piece: `SLM.wI.2b.17` */
  readonly mark: string;
  readonly kind: MediaKind;
  readonly light: LightKind;
  /** raking light: where the person says the lamp stands, 12 above */
  readonly clockHour: number | null;
  readonly elevationDeg: number | null;
  readonly stage: Stage;
  readonly face: Face;
  readonly layer: Layer;
  readonly author: string;
  readonly note: string;
}

/**
 * Where a picture is on its way.
 *
 *     writing → waiting → received → proven      the ordinary way
 *     writing → held → waiting                   a rubbing is looked at before it goes
 *     waiting → refused → waiting                the archive said no, a person tries again
 *     writing → unfinished                       the phone stopped before the bytes were whole
 *     … → discarded                              a person's word, never the program's
 */
export type PictureState =
  | 'writing'
  | 'held'
  | 'waiting'
  | 'received'
  | 'proven'
  | 'refused'
  | 'unfinished'
  | 'discarded';

/** What the server answered when the last byte had come. */
export interface Receipt {
  readonly mediaId: string;
  readonly logId: string;
  readonly seq: number;
  /** `sha256:<hex>` */
  readonly digest: string;
}

export interface Picture {
  /** UUID; also the Idempotency-Key of its upload, on whichever device sends it */
  readonly id: string;
  readonly archiveId: string;
  /** this device's clock: RFC 3339 with its offset */
  readonly takenAt: string;
  readonly fileName: string;
  readonly contentType: string;
  readonly sizeBytes: number;
  /** hex, of the bytes as they were read back from this device; null until then */
  readonly sha256: string | null;
  readonly job: Job;
  readonly state: PictureState;
  /** what a person should know of the state, as a sentence */
  readonly why: string | null;
  /** what the look at the picture found; null until it was looked at */
  readonly found: readonly string[] | null;
  /** of the upload that is under way */
  readonly uploadUrl: string | null;
  readonly tries: number;
  /** not before this moment, milliseconds since 1970 */
  readonly nextTryMs: number;
  readonly receipt: Receipt | null;
  /** the signed head under which this page proved the entry */
  readonly proof: { readonly size: number; readonly provenAt: string } | null;
  /** this device still holds the bytes */
  readonly hasBytes: boolean;
}

/** A picture that is about to be written down. */
export function freshPicture(
  given: Pick<
    Picture,
    'id' | 'archiveId' | 'takenAt' | 'fileName' | 'contentType' | 'sizeBytes' | 'job'
  >,
): Picture {
  return {
    ...given,
    sha256: null,
    state: 'writing',
    why: null,
    found: null,
    uploadUrl: null,
    tries: 0,
    nextTryMs: 0,
    receipt: null,
    proof: null,
    hasBytes: true,
  };
}
