import { type DemoRole, demoRoles, signIn } from '../platform/api/state.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { useAct } from '../platform/use-act.js';

const whatTheyDo: Readonly<Record<DemoRole, string>> = {
  Surveyor: say('records the window as found, and says what is urgent'),
  Glazier: say('rubs the panel and gets the lead drawing back'),
  Painter: say('maps cracks and paint loss, records what was done'),
  'Studio head': say('keeps the archive, signs drawings, hands out dossiers'),
};

/** Whose eyes to look through; only in the demo. */
export function DemoRoles({ again }: { again: () => void }) {
  const { busy, why, run } = useAct();
  return (
    <div className="stack">
      <h1>{say('Sallowmere Chapel')}</h1>
      <p>
        {say(
          'A ferrymen’s chapel on a tidal river: four windows, one hundred and fifty panels in the west one alone. Whose eyes?',
        )}
      </p>
      <ul className="roles">
        {demoRoles.map((demoRole) => (
          <li key={demoRole}>
            <button
              type="button"
              className="quiet"
              disabled={busy}
              onClick={() => {
                void run(async () => {
                  await signIn({ demoRole });
                  again();
                });
              }}
            >
              <b>{demoRole}</b>
              <span>{whatTheyDo[demoRole]}</span>
            </button>
          </li>
        ))}
      </ul>
      <Refusal why={why} />
    </div>
  );
}
