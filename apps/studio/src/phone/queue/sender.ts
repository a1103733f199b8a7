/**
 * Sends what waits, one picture after the other, as long as this page lives. Of all tabs of this device
 * one sends: it holds a lock that the browser gives to one page at a time and takes back when it ends.
 */
import { Refused } from '../../platform/api/request.js';
import { say } from '../../platform/language/say.js';
import type { Picture } from './picture.js';
import { readBytes } from './picture-bytes.js';
import { NotProven, proveReceipt } from './prove-receipt.js';
import { happen, readPictures } from './queue-store.js';
import { sendPicture } from './send-picture.js';
import { nextStep, retryDelayMs } from './send-plan.js';
import { withLock } from './with-lock.js';
import { listen } from './woken.js';

export interface SenderState {
  /** another tab of this device sends */
  readonly is: 'resting' | 'sending' | 'no-line' | 'signed-out' | 'elsewhere' | 'stopped';
  readonly pictureId: string | null;
  readonly ratio: number;
}

interface SentTo {
  readonly archiveId: string;
  readonly isDemo: boolean;
}

/** @returns ends the sending; what is on its way is taken up again next time */
export function startSender(
  archive: SentTo,
  onState: (state: SenderState) => void,
): { readonly stop: () => void } {
  const leaving = new AbortController();
  onState({ is: 'elsewhere', pictureId: null, ratio: 0 });
  withLock('mullion-phone-sender', leaving.signal, () =>
    new Sending(archive, onState, leaving.signal).run(),
  ).catch((error: unknown) => {
    if (leaving.signal.aborted) return;
    console.error('the sender ended:', error);
    onState({ is: 'stopped', pictureId: null, ratio: 0 });
  });
  return {
    stop: () => {
      leaving.abort();
    },
  };
}

/** Looks again after this long even when nothing tells it to. */
const LOOK_MS = 30_000;

class Sending {
  #failures = 0;

  constructor(
    private readonly archive: SentTo,
    private readonly onState: (state: SenderState) => void,
    private readonly signal: AbortSignal,
  ) {}

  async run(): Promise<void> {
    while (!this.signal.aborted) {
      const woken = listen(this.signal);
      const step = nextStep(await readPictures(), this.archive.archiveId, Date.now());
      if (step.act === 'rest') {
        this.#say('resting');
        await woken.orAfter(LOOK_MS);
      } else if (step.act === 'wait') {
        await woken.orAfter(Math.min(LOOK_MS, step.untilMs - Date.now()));
      } else {
        const isLine =
          step.act === 'send' ? await this.#send(step.picture) : await this.#prove(step.picture);
        if (isLine) await this.#waitForLine();
        else this.#failures = 0;
      }
      woken.forget();
    }
  }

  #say(is: SenderState['is'], pictureId: string | null = null, ratio = 0): void {
    if (!this.signal.aborted) this.onState({ is, pictureId, ratio });
  }

  /** @returns whether the line is gone */
  async #send(picture: Picture): Promise<boolean> {
    const { id } = picture;
    this.#say('sending', id);
    const bytes = await readBytes(id);
    if (bytes?.size !== picture.sizeBytes) {
      const why = say(
        'The phone does not hold this picture any more: its browser cleared the storage. It did not reach the archive; take it again.',
      );
      await happen(id, { kind: 'refused', why });
      return false;
    }
    const outcome = await sendPicture(picture, bytes, {
      onBegun: (uploadUrl) => happen(id, { kind: 'begun', uploadUrl }),
      onRatio: (ratio) => {
        this.#say('sending', id, ratio);
      },
      signal: this.signal,
    });
    if (outcome.kind === 'received') {
      await happen(id, outcome);
      return false;
    }
    if (outcome.kind === 'refused') {
      await happen(id, outcome);
      return false;
    }
    if (outcome.kind === 'begin-anew') await happen(id, { kind: 'upload-gone' });
    if (outcome.kind === 'signed-out') {
      this.#say('signed-out', id);
      await this.#wait(LOOK_MS);
      return false;
    }
    await this.#failed(id, outcome.why);
    return outcome.kind === 'failed' && outcome.isLine;
  }

  /** @returns whether the line is gone */
  async #prove(picture: Picture): Promise<boolean> {
    const { id, receipt, sha256 } = picture;
    if (receipt === null || sha256 === null) return false;
    this.#say('sending', id, 1);
    try {
      const size = await proveReceipt(this.archive, receipt, sha256, this.signal);
      await happen(id, { kind: 'proven', size, provenAt: new Date().toISOString() });
      return false;
    } catch (error) {
      if (this.signal.aborted) return false;
      const isSaid = error instanceof NotProven || error instanceof Refused;
      await this.#failed(id, isSaid ? error.message : say('The archive cannot be reached.'));
      return !isSaid;
    }
  }

  #failed(id: string, why: string): Promise<unknown> {
    return happen(id, { kind: 'failed', why, atMs: Date.now(), chance: Math.random() });
  }

  /** The whole queue waits together; when the line is back everything is due at once. */
  async #waitForLine(): Promise<void> {
    this.#say('no-line');
    const woken = listen(this.signal);
    await woken.orAfter(retryDelayMs(this.#failures++, Math.random()), ['online']);
    woken.forget();
    for (const { id, state } of await readPictures())
      if (state === 'waiting' || state === 'received') await happen(id, { kind: 'hurry' });
  }

  async #wait(waitMs: number): Promise<void> {
    const woken = listen(this.signal);
    await woken.orAfter(waitMs, ['online']);
    woken.forget();
  }
}
