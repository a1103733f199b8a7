import { useCallback, useState } from 'react';
import { Refused } from './api/request.js';
import { reason } from './use-answer.js';

export interface Acting {
  readonly busy: boolean;
  /** why the last try was refused */
  readonly why: string | undefined;
  /** the field that the refusal names */
  readonly field: string | undefined;
  /** runs one act at a time; resolves true when it went through */
  readonly run: (act: () => Promise<void>) => Promise<boolean>;
}

/** One write at a time with its refusal kept beside it, so that no button is pressed twice. */
export function useAct(): Acting {
  const [state, setState] = useState<{ busy: boolean; why?: string; field?: string }>({
    busy: false,
  });
  const run = useCallback(async (act: () => Promise<void>) => {
    setState({ busy: true });
    try {
      await act();
      setState({ busy: false });
      return true;
    } catch (error) {
      const field = error instanceof Refused ? error.field : undefined;
      setState({ busy: false, why: reason(error), ...(field ? { field } : {}) });
      return false;
    }
  }, []);
  return { busy: state.busy, why: state.why, field: state.field, run };
}
