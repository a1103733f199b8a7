import { Go } from '../platform/Go.js';
import { useSession } from '../platform/session.js';

/** On the start page, until the sheet is printed and put away; and how the key was changed last. */
export function SheetReminder() {
  const { state } = useSession();
  const { keyChange, fingerprint } = state.archive;
  return (
    <>
      {state.recoverySheetDue ? (
        <div className="caution" role="note">
          <b>The recovery sheet is not printed yet.</b>
          Without it a lost computer takes the archive’s key with it.{' '}
          <Go className="word" to="/recovery-sheet">
            Print the recovery sheet
          </Go>
        </div>
      ) : null}
      {keyChange === null ? null : (
        <p className="hint">
          This archive’s key is {fingerprint}; {keyChange}.
        </p>
      )}
    </>
  );
}
