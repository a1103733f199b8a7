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
      <summary>Keys</summary>
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
        <input
          type="checkbox"
          checked={on}
          onChange={(event) => {
            onSwitch(event.target.checked);
          }}
        />
        single keys do things
      </label>
    </details>
  );
}
