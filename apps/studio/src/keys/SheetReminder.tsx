import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { useSession } from '../platform/session.js';

/** On the start page, until the sheet is printed and put away; and how the key was changed last. */
export function SheetReminder() {
  const { state } = useSession();
  const { keyChange, fingerprint } = state.archive;
  return (
    <>
      {state.recoverySheetDue ? (
        <div className="caution" role="note">
          {rich(
            '<b>The recovery sheet is not printed yet.</b>Without it a lost computer takes the archive’s key with it. ',
            { b: (words) => <b>{words}</b> },
          )}
          <Go className="word" to="/recovery-sheet">
            {say('Print the recovery sheet')}
          </Go>
        </div>
      ) : null}
      {keyChange === null ? null : (
        <p className="hint">
          {rich('This archive’s key is {fingerprint}; {keyChange}.', { fingerprint, keyChange })}
        </p>
      )}
    </>
  );
}
