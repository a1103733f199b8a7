import { changes } from './queue-store.js';

export interface Woken {
  /** ends after `waitMs`, at a reason, or when the sending is stopped */
  readonly orAfter: (waitMs: number, reasons?: readonly string[]) => Promise<void>;
  readonly forget: () => void;
}

/** Listens from here on, so that nothing that happens meanwhile is slept through. */
export function listen(signal: AbortSignal): Woken {
  const heard = new Set<string>();
  let wake: (() => void) | undefined;
  let wanted: readonly string[] = ['changed', 'online', 'stop'];
  const hear = (event: { readonly type: string }) => {
    heard.add(event.type);
    if (wanted.includes(event.type)) wake?.();
  };
  const stop = () => {
    heard.add('stop');
    wake?.();
  };
  changes.addEventListener('changed', hear);
  window.addEventListener('online', hear);
  signal.addEventListener('abort', stop);
  return {
    orAfter: async (waitMs, reasons = ['changed', 'online']) => {
      wanted = [...reasons, 'stop'];
      if (wanted.some((reason) => heard.has(reason))) return;
      let timer: ReturnType<typeof setTimeout> | undefined;
      await new Promise<void>((resolve) => {
        wake = resolve;
        timer = setTimeout(resolve, Math.max(0, waitMs));
      });
      clearTimeout(timer);
    },
    forget: () => {
      changes.removeEventListener('changed', hear);
      window.removeEventListener('online', hear);
      signal.removeEventListener('abort', stop);
    },
  };
}
