/** What was measured or reckoned, a name and its value a row. */
export function FactsTable({ rows }: { rows: readonly (readonly [string, string])[] }) {
  return (
    <table className="facts">
      <tbody>
        {rows.map(([name, value]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>{value}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
