import { sendOne } from '../upload/send-one.js';

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
  sendOne(file, {
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
  });
