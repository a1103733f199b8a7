import { Worker } from 'node:worker_threads';
import type { RgbPixels } from '#libs/imaging';
import type { Net } from '#libs/net';
import { Problem } from '#libs/problem';
import type { SheetPlacement } from '#libs/rubbing';

export interface RubbingRequest {
  /** the sheets of one rubbing */
  pictures: readonly {
    picture: RgbPixels;
    control: Readonly<Record<string, unknown>>;
    taps: readonly (readonly [number, number])[];
  }[];
  face: Net['face'];
  layer: Net['layer'];
}

/** What the machine read from the sheets. */
export interface ReadRubbing {
  net: Net;
  /** the sheet seen square-on; `imageFromPanel` is row-major 3 × 3, panel mm → its pixels */
  rectified: { widthPx: number; heightPx: number; grey: Uint8Array; imageFromPanel: number[] };
  /** how each original picture lies on the panel, in the order of the pictures */
  placements: (SheetPlacement | null)[];
}

export type ThreadMessage =
  | { kind: 'progress'; stage: string; ratio: number }
  | { kind: 'read'; read: ReadRubbing }
  | { kind: 'refused'; message: string; members: Record<string, string | number> }
  | { kind: 'broken'; stack: string };

/** How the thread is started; tests run it from source. */
export interface ThreadProgram {
  script: URL;
  execArgv?: string[];
}

export const RUBBING_THREAD: ThreadProgram = {
  script: new URL('./read-rubbing-thread.js', import.meta.url),
};

/**
 * Reads the sheets in a thread of its own, so that the worker stays awake for its queue; the pixels
 * are handed over, not copied.
 *
 * @throws {Problem} `extraction-failed` with the sentence of the lib that refused
 */
export async function readRubbingInThread(
  request: RubbingRequest,
  program: ThreadProgram,
  onProgress: (stage: string, ratio: number) => void,
  signal: AbortSignal,
): Promise<ReadRubbing> {
  signal.throwIfAborted();
  const pictures = request.pictures.map((sheet) => ({
    ...sheet,
    picture: { ...sheet.picture, rgb: ownBytes(sheet.picture.rgb) },
  }));
  const { script, ...options } = program;
  const thread = new Worker(script, {
    ...options,
    workerData: { ...request, pictures },
    transferList: pictures.map(({ picture }) => picture.rgb.buffer),
  });
  const stop = (): void => void thread.terminate();
  signal.addEventListener('abort', stop, { once: true });
  try {
    return await new Promise<ReadRubbing>((resolve, reject) => {
      thread.on('message', (message: ThreadMessage) => {
        switch (message.kind) {
          case 'progress':
            onProgress(message.stage, message.ratio);
            break;
          case 'read':
            resolve(message.read);
            break;
          case 'refused':
            reject(new Problem('extraction-failed', message.message, message.members));
            break;
          case 'broken':
            reject(new Error(`reading the rubbing failed: ${message.stack}`));
        }
      });
      thread.on('error', reject);
      thread.on('exit', (code) => {
        reject(signal.aborted ? new Error('stopped') : new Error(`the thread ended with ${code}`));
      });
    });
  } finally {
    signal.removeEventListener('abort', stop);
    await thread.terminate();
  }
}

/** Bytes that are all of their memory; a Buffer out of Node's pool cannot be handed over. */
function ownBytes(bytes: Uint8Array): Uint8Array<ArrayBuffer> {
  const { buffer } = bytes;
  return buffer instanceof ArrayBuffer && buffer.byteLength === bytes.byteLength
    ? new Uint8Array(buffer)
    : new Uint8Array(bytes);
}
