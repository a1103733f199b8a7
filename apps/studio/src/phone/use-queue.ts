import { useEffect, useState } from 'react';
import { say } from '../platform/language/say.js';
import { judgeLeftOver } from './judge/judge-picture.js';
import { askKeeping, deviceRoom, type Keeping } from './queue/device-room.js';
import { takeUpUnfinished } from './queue/keep-picture.js';
import type { Picture } from './queue/picture.js';
import { changes, readPictures } from './queue/queue-store.js';
import type { RoomSaid } from './queue/send-plan.js';
import { type SenderState, startSender } from './queue/sender.js';
import type { KnownPerson } from './remembered.js';

export interface Queue {
  /** newest first; null until they are read */
  readonly pictures: readonly Picture[] | null;
  readonly room: RoomSaid | null;
  /** the queue cannot be read, as a sentence */
  readonly why: string | null;
}

/** The queue as it lies on this device, kept in step with every tab. */
export function useQueue(): Queue {
  const [queue, setQueue] = useState<Queue>({ pictures: null, room: null, why: null });
  useEffect(() => {
    const leaving = new AbortController();
    const { signal } = leaving;
    const looks = { running: false, wanted: false };
    const lookOnce = async () => {
      try {
        const pictures = await readPictures();
        const room = await deviceRoom(pictures);
        if (!signal.aborted) setQueue({ pictures, room, why: null });
      } catch (error) {
        const why = say(
          'This browser gives no storage to keep pictures in ({error}). Take pictures with the phone’s own camera and send them from the panel’s page.',
          { error: String(error) },
        );
        if (!signal.aborted) setQueue((before) => ({ ...before, why }));
      }
    };
    // of many changes at once the last one is what counts
    const look = async () => {
      looks.wanted = true;
      if (looks.running) return;
      looks.running = true;
      while (looks.wanted) {
        looks.wanted = false;
        await lookOnce();
      }
      looks.running = false;
    };
    const hear = () => void look();
    changes.addEventListener('changed', hear);
    void takeUpUnfinished()
      .then(look, look)
      .then(judgeLeftOver)
      .catch(() => undefined); // told by the look above
    return () => {
      leaving.abort();
      changes.removeEventListener('changed', hear);
    };
  }, []);
  return queue;
}

/** Sends while this page lives and somebody is signed in. */
export function useSender(person: KnownPerson | null, isConnected: boolean): SenderState {
  const [state, setState] = useState<SenderState>({ is: 'no-line', pictureId: null, ratio: 0 });
  const archiveId = person?.archiveId;
  const isDemo = person?.isDemo ?? false;
  useEffect(() => {
    if (archiveId === undefined || !isConnected) return;
    return startSender({ archiveId, isDemo }, setState).stop;
  }, [archiveId, isDemo, isConnected]);
  return isConnected ? state : { is: 'no-line', pictureId: null, ratio: 0 };
}

/** What the browser promises about this device's storage; asked once. */
export function useKeeping(): Keeping | null {
  const [keeping, setKeeping] = useState<Keeping | null>(null);
  useEffect(() => {
    void askKeeping().then(setKeeping);
  }, []);
  return keeping;
}
