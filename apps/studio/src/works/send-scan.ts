import { send } from '../upload/sending.js';

/**
 * Sends the scan of a letter and waits until the archive has it.
 *
 * It belongs to the site and to no panel: a letter bears a name and a signature.
 *
 * @param happened date of the letter, EDTF
 * @returns mediaId
 * @throws {Error} with the archive's own sentence where it refused
 */
export const sendScan = (file: File, siteId: string, happened: string): Promise<string> =>
  new Promise((resolve, reject) => {
    send(
      file,
      {
        siteId,
        kind: 'document',
        light: null,
        clockHour: null,
        elevationDeg: null,
        stage: 'undated',
        face: null,
        layer: null,
        subjects: [],
        author: '',
        happened,
        note: '',
      },
      (state) => {
        if (state.is === 'kept' && state.mediaId !== null) resolve(state.mediaId);
        if (state.is === 'refused') reject(new Error(state.why));
      },
    );
  });
