import { chooseHome } from '../platform/api/state.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { useAct } from '../platform/use-act.js';

/** Nobody exists yet: look round the demo, or start the studio's archive. */
export function Choose({
  token,
  start,
  again,
}: {
  token: string | null;
  start: () => void;
  again: () => void;
}) {
  const { busy, why, run } = useAct();
  const demo = () => {
    void run(async () => {
      await chooseHome('demo', token ?? '');
      // The program starts again on the demo's home; ask until it answers as the demo.
      for (let turn = 0; turn < 40; turn++) {
        await new Promise((resolve) => setTimeout(resolve, 750));
        again();
      }
    });
  };
  return (
    <div className="stack">
      <h1>{say('Nothing is kept here yet')}</h1>
      <p>
        {say(
          'Mullion holds the photographs, rubbings, measurements and decisions about a window, each tied to the piece of glass or lead it is about.',
        )}
      </p>
      {token === null ? (
        <p className="caution">
          {rich(
            '<b>Open the link that the start printed</b>It carries a one-time key, so that nobody else on the network can take this archive. It looks like “…/#welcome=…”.',
            { b: (words) => <b>{words}</b> },
          )}
        </p>
      ) : null}
      <div className="offers">
        <button type="button" onClick={start} disabled={token === null || busy}>
          {say('Start the studio’s archive')}
        </button>
        <button type="button" className="quiet" onClick={demo} disabled={token === null || busy}>
          {busy ? say('Opening the demo…') : say('Look round the demo')}
        </button>
      </div>
      <p className="hint">
        {say(
          'The demo is an invented chapel in a home of its own. It never touches your archive and can be thrown away.',
        )}
      </p>
      <Refusal why={why} />
    </div>
  );
}
