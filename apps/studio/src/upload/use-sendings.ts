import { useRef, useState } from 'react';
import { newId } from '../platform/new-id.js';
import { type Description, type Sending, type SendState, send } from './sending.js';

export interface Item {
  readonly key: string;
  readonly file: File;
  readonly state: SendState;
}

/** The files that were picked, and how far each has come. */
export function useSendings(onKept: () => void): {
  items: readonly Item[];
  add: (files: Iterable<File>) => void;
  sendAll: (description: Description) => void;
  pause: (key: string) => void;
  resume: (key: string) => void;
  drop: (key: string) => void;
} {
  const [items, setItems] = useState<readonly Item[]>([]);
  const running = useRef(new Map<string, Sending>());
  const setState = (key: string, state: SendState) => {
    setItems((before) => before.map((item) => (item.key === key ? { ...item, state } : item)));
    if (state.is === 'kept') onKept();
  };
  return {
    items,
    add: (files) => {
      const added = [...files].map((file) => ({
        key: newId(),
        file,
        state: { is: 'here' } as const,
      }));
      setItems((before) => [...before, ...added]);
    },
    sendAll: (description) => {
      for (const item of items)
        if (item.state.is === 'here' || item.state.is === 'refused')
          running.current.set(
            item.key,
            send(item.file, description, (state) => {
              setState(item.key, state);
            }),
          );
    },
    pause: (key) => running.current.get(key)?.pause(),
    resume: (key) => running.current.get(key)?.resume(),
    drop: (key) => {
      running.current.get(key)?.pause();
      setItems((before) => before.filter((item) => item.key !== key));
    },
  };
}
