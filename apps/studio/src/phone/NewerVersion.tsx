import { takeNewer, useShell } from '../offline/shell.js';
import { say } from '../platform/language/say.js';

/** Tells of a newer Mullion; it is put in place when a person says so, and never while work is under way. */
export function NewerVersion({ isMidWork }: { isMidWork: boolean }) {
  const { isNewerReady } = useShell();
  if (!isNewerReady) return null;
  return (
    <div className="paper row" role="status">
      <span>{say('A newer Mullion lies ready on this phone.')}</span>
      <button type="button" className="quiet" disabled={isMidWork} onClick={takeNewer}>
        {isMidWork ? say('after this picture') : say('Open it now')}
      </button>
    </div>
  );
}
