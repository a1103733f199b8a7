import './ledger.css';
import { type ReactNode, useCallback, useEffect, useRef, useState } from 'react';
import { writes } from '../platform/api/request.js';
import { say } from '../platform/language/say.js';
import { useSession } from '../platform/session.js';
import { AnotherArchive } from './AnotherArchive.js';
import { type ArchiveComparison, acceptEpochs, compareArchive } from './compare-archive.js';
import { RefusedArchive } from './RefusedArchive.js';
import { RestoredArchive } from './RestoredArchive.js';

/** Looks again this often, and a moment after every write and whenever the window is looked at again. */
const EVERY_MS = 300_000;
const AFTER_WRITE_MS = 1_500;

/**
 * Lets nobody in before the archive has proven that its history grew from what this browser saw, and
 * stops the work when it can no more.
 */
export function LedgerGate({ children }: { children: ReactNode }) {
  const { state } = useSession();
  const { id: archiveId } = state.archive;
  const isDemo = state.demo;
  const [found, setFound] = useState<ArchiveComparison | null>(null);
  const [turn, setTurn] = useState(0);
  const again = useCallback(() => {
    setTurn((before) => before + 1);
  }, []);

  useEffect(() => {
    const leaving = new AbortController();
    compareArchive({ archiveId, isDemo }, leaving.signal).then(
      (comparison) => {
        if (leaving.signal.aborted) return;
        setFound((before) =>
          // a network that is gone for a while takes nothing from what was proven
          comparison.kind === 'unreachable' && before?.kind === 'good' ? before : comparison,
        );
      },
      (error: unknown) => {
        if (leaving.signal.aborted) return;
        setFound({
          kind: 'unreachable',
          why: error instanceof Error ? error.message : String(error),
        });
      },
    );
    return () => {
      leaving.abort();
    };
  }, [archiveId, isDemo, turn]);
  useReasonsToLook(again);

  if (found === null)
    return <Waiting words={say('Comparing the history with what this browser saw…')} />;
  if (found.kind === 'unreachable') return <Waiting words={found.why} again={again} />;
  if (found.kind === 'refused') return <RefusedArchive logs={found.logs} again={again} />;
  if (found.kind === 'another') return <AnotherArchive before={found.before} again={again} />;
  if (found.kind === 'epoch')
    return (
      <RestoredArchive
        epochs={found.epochs}
        goOn={() => {
          void acceptEpochs(archiveId, found.epochs).then(again);
        }}
      />
    );
  return children;
}

function useReasonsToLook(again: () => void): void {
  const waiting = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => {
    const soon = () => {
      clearTimeout(waiting.current);
      waiting.current = setTimeout(again, AFTER_WRITE_MS);
    };
    const whenSeen = () => {
      if (document.visibilityState === 'visible') again();
    };
    const timer = setInterval(again, EVERY_MS);
    writes.addEventListener('taken', soon);
    document.addEventListener('visibilitychange', whenSeen);
    return () => {
      clearInterval(timer);
      clearTimeout(waiting.current);
      writes.removeEventListener('taken', soon);
      document.removeEventListener('visibilitychange', whenSeen);
    };
  }, [again]);
}

function Waiting({ words, again }: { words: string; again?: () => void }) {
  return (
    <div className="stop-page">
      <main className="paper stop-paper stack">
        <p role="status">{words}</p>
        {again ? (
          <div className="row">
            <button type="button" onClick={again}>
              {say('Try again')}
            </button>
          </div>
        ) : null}
      </main>
    </div>
  );
}
