import { Worker } from 'node:worker_threads';
import type { Net, Numbering } from '#libs/net';
import { Problem } from '#libs/problem';
import type { RubbingImage, RubbingStage, SheetPlacement } from '#libs/rubbing';

/** One picture, its pixels in a file: several of them never lie in memory at once. */
export interface PictureFile {
  /** widthPx × heightPx × 3 bytes, sRGB, row-major */
  path: string;
  widthPx: number;
  heightPx: number;
  dpi?: number;
  lens?: NonNullable<RubbingImage['lens']>;
}

export interface RubbingRequest {
  /** the sheets of one rubbing */
  pictures: readonly {
    picture: PictureFile;
    control: Readonly<Record<string, unknown>>;
    taps: readonly (readonly [number, number])[];
  }[];
  face: Net['face'];
  layer: Net['layer'];
  surface: Net['surface'];
  faceWidthsInUseMm: readonly number[];
  /** the drawing that pieces' numbers are taken over from, and the numbers that are not given again */
  numbering: Numbering;
}

/** A computed picture and where it lies: row-major 3 × 3, panel mm → its pixels. */
export interface PanelPicture {
  widthPx: number;
  heightPx: number;
  /** row-major, one byte a pixel (grey) or three (sRGB) */
  pixels: Uint8Array;
  imageFromPanel: number[];
}

export type StagePicture = Omit<RubbingStage, 'rgb'> & PanelPicture;

/** What the machine read from the sheets. */
export interface ReadRubbing {
  net: Net;
  /** the sheets seen square-on */
  rectified: PanelPicture;
  /** how each original picture lies on the panel, in the order of the pictures */
  placements: readonly (SheetPlacement | null)[];
  /** how it was found, step by step */
  stages: readonly StagePicture[];
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
 * Reads the sheets in a thread of its own, so that the worker stays awake for its queue.
 *
 * @throws {Problem} `extraction-failed` with the sentence of the lib that refused
 */
export async function readRubbingInThread(
  request: RubbingRequest,
  { script, ...options }: ThreadProgram,
  onProgress: (stage: string, ratio: number) => void,
  signal: AbortSignal,
): Promise<ReadRubbing> {
  signal.throwIfAborted();
  const thread = new Worker(script, { ...options, workerData: request });
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
