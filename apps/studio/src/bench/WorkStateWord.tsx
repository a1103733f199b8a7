import { revisePanel } from '../platform/api/panels.js';
import type { WorkState } from '../platform/api/windows.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { useAct } from '../platform/use-act.js';
import { workStates, workStateWords } from '../platform/work-state.js';
import type { Bench } from './use-bench.js';

/** Where the panel is in the work; choosing another word records it. */
export function WorkStateWord({ bench }: { bench: Bench }) {
  const { panel } = bench;
  const { busy, why, run } = useAct();
  return (
    <>
      <select
        className="paper-word"
        aria-label={say('State of work')}
        value={panel.workState}
        disabled={busy}
        onChange={(event) => {
          const workState = event.target.value as WorkState;
          void run(async () => {
            await revisePanel(panel.panelId, { workState }, panel.version);
            bench.again();
          });
        }}
      >
        {workStates.map((state) => (
          <option key={state} value={state}>
            {workStateWords[state]}
          </option>
        ))}
      </select>
      <Refusal why={why} />
    </>
  );
}
