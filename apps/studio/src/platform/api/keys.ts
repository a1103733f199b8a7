import { client, taken } from './request.js';

/** The recovery sheet while its words still lie in the archive. */
export interface RecoverySheet {
  readonly words: readonly string[];
  /** a QR code of the words: SVG path of its dark squares, and squares along a side */
  readonly code: { readonly path: string; readonly side: number };
  readonly archiveId: string;
  readonly fingerprint: string;
  readonly successor: string;
  readonly announcedAt: number;
  readonly madeAt: string;
}

export const recoverySheetPdf = '/v1/archive/recovery-sheet.pdf';

/** null once its words were destroyed */
export const readRecoverySheet = async (signal: AbortSignal): Promise<RecoverySheet | null> =>
  (await taken(client.GET('/v1/archive/recovery-sheet', { signal }))).sheet;

/** Two words typed back from the printed page; the archive destroys them all then. */
export const keepRecoverySheet = (
  words: readonly { number: number; word: string }[],
): Promise<unknown> =>
  taken(client.POST('/v1/archive/recovery-sheet/kept', { body: { words: [...words] } }));
