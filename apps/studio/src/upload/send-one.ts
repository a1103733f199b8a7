import { type Description, send } from './sending.js';

/**
 * Sends one file and waits until the archive has it.
 *
 * @returns mediaId
 * @throws {Error} with the archive's own sentence where it refused
 */
export const sendOne = (file: File, description: Description): Promise<string> =>
  new Promise((resolve, reject) => {
    send(file, description, (state) => {
      if (state.is === 'kept' && state.mediaId !== null) resolve(state.mediaId);
      if (state.is === 'refused') reject(new Error(state.why));
    });
  });
