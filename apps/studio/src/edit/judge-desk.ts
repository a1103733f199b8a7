import type { Drawing, Judgement, Net, NetChange } from '#libs/net';

export interface JudgeTask {
  readonly turn: number;
  readonly drawing: Drawing;
  /** the revision that is edited; sent when it is another one */
  readonly earlier?: Net;
}

export interface Judged extends Judgement {
  readonly drawing: Drawing;
  /** what the drawing changes; null while it is no net */
  readonly change: NetChange | null;
}

/**
 * Has drawings judged one at a time by a worker: while one is looked at, only the newest waits.
 * The worker goes with `dispose`.
 */
export class JudgeDesk {
  readonly #worker = new Worker(new URL('./judge-worker.ts', import.meta.url), { type: 'module' });
  readonly #onJudged: (judged: Judged) => void;
  #earlier: Net | null = null;
  #sent: Net | null = null;
  #busyWith: Drawing | null = null;
  #next: Drawing | null = null;
  #turn = 0;

  constructor(onJudged: (judged: Judged) => void, onFailed: (why: string) => void) {
    this.#onJudged = onJudged;
    this.#worker.addEventListener('message', ({ data }: MessageEvent<Answer>) => {
      this.#hear(data);
    });
    this.#worker.addEventListener('error', (event) => {
      this.#busyWith = null;
      onFailed(event.message);
    });
  }

  judge(drawing: Drawing, earlier: Net): void {
    this.#earlier = earlier;
    this.#next = drawing;
    this.#send();
  }

  dispose(): void {
    this.#worker.terminate();
  }

  #send(): void {
    if (this.#busyWith || !this.#next || !this.#earlier) return;
    const task: JudgeTask = {
      turn: ++this.#turn,
      drawing: this.#next,
      ...(this.#sent === this.#earlier ? {} : { earlier: this.#earlier }),
    };
    this.#sent = this.#earlier;
    this.#busyWith = this.#next;
    this.#next = null;
    this.#worker.postMessage(task);
  }

  #hear({ turn, judged }: Answer): void {
    if (turn !== this.#turn || !this.#busyWith) return;
    const drawing = this.#busyWith;
    this.#busyWith = null;
    this.#onJudged({ ...judged, drawing });
    this.#send();
  }
}

interface Answer {
  readonly turn: number;
  readonly judged: Omit<Judged, 'drawing'>;
}
