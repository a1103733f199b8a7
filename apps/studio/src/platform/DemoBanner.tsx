import { chooseHome, readState } from './api/state.js';
import { say } from './language/say.js';
import { useAct } from './use-act.js';

/** On every screen of the demo home: what it is, that it can be thrown away, and the way out. */
export function DemoBanner() {
  const { busy, why, run } = useAct();
  const leave = () => {
    void run(async () => {
      await chooseHome('archive', '');
      await untilArchive();
      window.location.assign('/');
    });
  };
  return (
    <div className="demo" role="note">
      <b>{say('demo')}</b>
      <span>{why ?? say('invented; it touches no archive; throw it away freely')}</span>
      <button type="button" className="word" disabled={busy} onClick={leave}>
        {busy ? say('leaving…') : say('leave the demo')}
      </button>
    </div>
  );
}

/** The program starts again on the studio's own home, on the same address. */
async function untilArchive(): Promise<void> {
  for (let turn = 0; turn < 80; turn++) {
    await new Promise((resolve) => setTimeout(resolve, 750));
    const state = await readState(new AbortController().signal).catch(() => undefined);
    if (state?.demo === false) return;
  }
  throw new Error(say('The archive did not open; look where you started Mullion.'));
}
