import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';

/** Somebody else kept a revision meanwhile: nothing is lost, the person chooses. */
export function OvertakenPaper({
  revision,
  busy,
  onTop,
  onGiveUp,
}: {
  /** that this work was begun on */
  revision: number;
  busy: boolean;
  onTop: () => void;
  onGiveUp: () => void;
}) {
  return (
    <article className="paper stack" aria-label={say('A newer revision')} role="alert">
      <div>
        <h2>{say('Somebody kept a newer revision meanwhile')}</h2>
        <p className="sub">
          {rich(
            'You began on revision {revision}. Your work is safe in this browser. Put on top, what you changed stands and everything else is as in the newer revision; where both changed one place you will be shown it.',
            { revision },
          )}
        </p>
      </div>
      <div className="row">
        <button type="button" disabled={busy} onClick={onTop}>
          {say('Put my work on top of it')}
        </button>
        <button type="button" className="quiet" disabled={busy} onClick={onGiveUp}>
          {say('Throw my work away')}
        </button>
      </div>
    </article>
  );
}
