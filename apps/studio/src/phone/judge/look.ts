import { say } from '../../platform/language/say.js';
import type { LookTask } from './look-worker.js';
import type { PictureFigures } from './say-picture.js';

/** A picture that a phone cannot decode within this time is kept unjudged. */
const LIMIT_MS = 30_000;

let worker: Worker | undefined;
let turns = 0;

/**
 * Measures a photograph in a worker.
 *
 * @throws Error where this browser cannot decode it; the message says so
 */
export function lookAt(file: Blob): Promise<PictureFigures> {
  worker ??= new Worker(new URL('./look-worker.ts', import.meta.url), { type: 'module' });
  const desk = worker;
  const turn = ++turns;
  return new Promise((resolve, reject) => {
    const end = (act: () => void) => {
      clearTimeout(timer);
      desk.removeEventListener('message', hear);
      desk.removeEventListener('error', fail);
      act();
    };
    const hear = ({ data }: MessageEvent<Answer>) => {
      if (data.turn !== turn) return;
      end(() => {
        if (data.figures) resolve(data.figures);
        else reject(new Error(data.why ?? say('This phone cannot look at its own picture.')));
      });
    };
    const fail = () => {
      end(() => {
        worker = undefined;
        reject(new Error(say('This phone cannot look at its own picture.')));
      });
    };
    const timer = setTimeout(fail, LIMIT_MS);
    desk.addEventListener('message', hear);
    desk.addEventListener('error', fail);
    const task: LookTask = { turn, file };
    desk.postMessage(task);
  });
}

interface Answer {
  readonly turn: number;
  readonly figures?: PictureFigures;
  readonly why?: string;
}
