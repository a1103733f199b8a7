import { rich } from './language/rich.js';
import { say } from './language/say.js';

/** What single keys do in a room, and the switch for all of them. */
export function KeysTable({
  keys,
  on,
  onSwitch,
}: {
  keys: readonly (readonly [key: string, words: string])[];
  on: boolean;
  onSwitch: (on: boolean) => void;
}) {
  return (
    <details className="paper">
      <summary>{say('Keys')}</summary>
      <table className="facts">
        <tbody>
          {keys.map(([key, words]) => (
            <tr key={key}>
              <th scope="row">{key}</th>
              <td>{words}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <label className="tick">
        {rich('{input}single keys do things', {
          input: (
            <input
              type="checkbox"
              checked={on}
              onChange={(event) => {
                onSwitch(event.target.checked);
              }}
            />
          ),
        })}
      </label>
    </details>
  );
}
