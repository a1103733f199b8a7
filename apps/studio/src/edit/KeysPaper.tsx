/** The keys that have no button of their own, and the switch for all single keys. */
export function KeysPaper({ on, onSwitch }: { on: boolean; onSwitch: (on: boolean) => void }) {
  const rows = [
    [', and .', 'lead before, lead after'],
    ['L', 'from a lead to its ends and back'],
    ['P', 'to the paper about what is chosen or drawn; Esc leads back'],
    ['arrows', 'move what is chosen by 0.1 mm, with Shift by 1 mm; bend it while V is on'],
    ['arrows, Enter', 'drawing, cutting, choosing many: aim, with Shift finely, and tap there'],
    ['Enter, arrows, Enter', 'choosing many: a box from one corner to the other'],
    ['Shift + tap or drag', 'choose more, or all in a box'],
    ['Alt while dragging', 'no snapping'],
    ['Esc', 'drop it, let go of what is chosen'],
  ] as const;
  return (
    <details className="paper keys">
      <summary>Keys</summary>
      <table className="facts">
        <tbody>
          {rows.map(([key, words]) => (
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
