import { say } from '../platform/language/say.js';
import { useSession } from '../platform/session.js';
import { FingerprintForm } from './FingerprintForm.js';
import { rememberArchiveHere } from './kept-heads.js';
import { StopPage, StopSection } from './StopPage.js';

/** Another archive answers here than before: rightly, or somebody put one in its place. */
export function AnotherArchive({ before, again }: { before: string; again: () => void }) {
  const { state } = useSession();
  const { id, fingerprint } = state.archive;
  return (
    <StopPage
      title={say('Another archive answers at this address')}
      sub={say('It is not the one that this browser was in before. Nothing of it is shown yet.')}
    >
      <table className="facts both">
        <tbody>
          <tr>
            <th scope="row">{say('before')}</th>
            <td className="root">{before}</td>
          </tr>
          <tr>
            <th scope="row">{say('now')}</th>
            <td className="root">{id}</td>
          </tr>
        </tbody>
      </table>
      <p>
        {say(
          'That is right when the studio began a new archive here. It is wrong when somebody put one in the place of yours. The fingerprint tells: it stands on printed records and in the keeper’s letter.',
        )}
      </p>
      <StopSection title={say('What is safe')}>
        <p>
          {say(
            'What this browser keeps of the archive before; it stays, and is held against that archive when it answers again.',
          )}
        </p>
      </StopSection>
      <StopSection title={say('What to do')}>
        <FingerprintForm
          label={say('Fingerprint, from paper or from the keeper')}
          hint={say('28 letters and digits')}
          fingerprint={fingerprint}
          other={say(
            'This archive’s fingerprint is {fingerprint}. Yours is another: leave, and ask the keeper.',
            { fingerprint },
          )}
          onSame={async () => {
            await rememberArchiveHere(id);
            again();
          }}
        >
          <button type="submit">{say('It is this archive, go on')}</button>
        </FingerprintForm>
      </StopSection>
    </StopPage>
  );
}
